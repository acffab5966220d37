"""`python -m tests.voice`: records everything the phone can say anew.

Wants Debian's `espeak-ng` and `ffmpeg` on the PATH; nothing of them runs on a phone or in a shop.
"""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.voice.phrases import VOICE, phrases, recording

VOICES = {"en": "en-gb", "de": "de"}
# Words a minute: slower than talk, for a room with a roller in it.
PACE, PITCH = 150, 45
RATE, BITS = "16000", "24k"
CUT = "silenceremove=start_periods=1:start_threshold=-40dB"
# Ends cut; what a phone's loudspeaker can't give left out; consonants lifted over the roller's
# hum; loud and quiet drawn together, so that it may be played loud without breaking up.
FILTERS = (
    f"{CUT},areverse,{CUT},areverse,highpass=f=250,treble=g=4:f=2500,"
    "acompressor=threshold=-24dB:ratio=4:attack=5:release=60:makeup=8dB,"
    "alimiter=limit=0.89:level=true"
)


def main() -> None:
    """Writes each recording, and nothing else stays in the folder."""
    missing = [name for name in ("espeak-ng", "ffmpeg") if not shutil.which(name)]
    if missing:
        sys.exit(
            f"Not on the PATH: {', '.join(missing)}. On Debian: apt-get install espeak-ng ffmpeg"
        )
    shutil.rmtree(VOICE, ignore_errors=True)
    with tempfile.TemporaryDirectory() as folder:
        for language, said in phrases().items():
            for name, text in said.items():
                spoken = Path(folder) / f"{language}-{name}.wav"
                _speak(language, text, spoken)
                _press(spoken, recording(language, name))


def _speak(language: str, text: str, to: Path) -> None:
    voice = ["-v", VOICES[language], "-s", str(PACE), "-p", str(PITCH), "-a", "100"]
    subprocess.run(["espeak-ng", *voice, "-w", str(to), text], check=True)


def _press(spoken: Path, to: Path) -> None:
    """From the synthesiser's sound to a small file that all browsers play: mono MPEG layer 3."""
    to.parent.mkdir(parents=True, exist_ok=True)
    plain = ["-map_metadata", "-1", "-fflags", "+bitexact", "-flags:a", "+bitexact"]
    small = ["-ac", "1", "-ar", RATE, "-c:a", "libmp3lame", "-b:a", BITS]
    bare = ["-write_xing", "0", "-id3v2_version", "0"]
    quiet = ["ffmpeg", "-y", "-loglevel", "error", "-i", str(spoken)]
    subprocess.run([*quiet, "-af", FILTERS, *plain, *small, *bare, str(to)], check=True)


if __name__ == "__main__":
    main()
