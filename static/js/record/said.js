// All that is ever spoken, by language: a voice of the phone reads it, `python -m tests.voice` records it.

export default {
"en": {
"eyes": "Eyes on the thermometer.", "mark": "Mark.", "suspect": "Thermometer suspect. Crack test.", "poured": "Poured?",
"lid": "Lid.", "skin": "Skin.", "time": "Time.", "minute": "one minute", "minutes": "minutes", "late": "late", "long": "more than an hour late",
"silent": "A phone is silent. Look at the flame.", "burn": "Burn. Take the boil.", "heard": "Did you hear it?",
"h1": "one hundred", "h2": "two hundred", "h3": "three hundred",
"n0": "zero", "n1": "one", "n2": "two", "n3": "three", "n4": "four", "n5": "five", "n6": "six", "n7": "seven", "n8": "eight", "n9": "nine",
"n10": "ten", "n11": "eleven", "n12": "twelve", "n13": "thirteen", "n14": "fourteen", "n15": "fifteen", "n16": "sixteen", "n17": "seventeen", "n18": "eighteen", "n19": "nineteen",
"n20": "twenty", "n30": "thirty", "n40": "forty", "n50": "fifty", "n60": "sixty", "n70": "seventy", "n80": "eighty", "n90": "ninety"
},
"de": {
"eyes": "Augen aufs Thermometer.", "mark": "Marke.", "suspect": "Thermometer verdächtig. Bruchprobe.", "poured": "Gegossen?",
"lid": "Deckel.", "skin": "Haut.", "time": "Zeit.", "minute": "eine Minute", "minutes": "Minuten", "late": "zu spät", "long": "mehr als eine Stunde zu spät",
"silent": "Ein Telefon schweigt. Nach der Flamme sehen.", "burn": "Verbrennung. Sud übernehmen.", "heard": "Haben Sie es gehört?",
"h1": "einhundert", "h2": "zweihundert", "h3": "dreihundert",
"n0": "null", "n1": "eins", "n2": "zwei", "n3": "drei", "n4": "vier", "n5": "fünf", "n6": "sechs", "n7": "sieben", "n8": "acht", "n9": "neun",
"n10": "zehn", "n11": "elf", "n12": "zwölf", "n13": "dreizehn", "n14": "vierzehn", "n15": "fünfzehn", "n16": "sechzehn", "n17": "siebzehn", "n18": "achtzehn", "n19": "neunzehn",
"n20": "zwanzig", "n30": "dreißig", "n40": "vierzig", "n50": "fünfzig", "n60": "sechzig", "n70": "siebzig", "n80": "achtzig", "n90": "neunzig",
"u1": "einund", "u2": "zweiund", "u3": "dreiund", "u4": "vierund", "u5": "fünfund", "u6": "sechsund", "u7": "siebenund", "u8": "achtund", "u9": "neunund", "d2": "zwo"
}
};
