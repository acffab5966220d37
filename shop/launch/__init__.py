"""Starting the program: its environment, its data folder, its certificate, its server."""
