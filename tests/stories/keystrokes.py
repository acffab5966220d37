"""How long hands take over so many presses: the keystroke-level model.

    t = M presses + (P + K) (presses + figures) + K' characters + R words

Card, Moran and Newell, The keystroke-level model for user performance time with interactive
systems, Communications of the ACM 23 (1980) 396: mental preparation M 1.35 s, pointing P 1.10 s,
a key or button K 0.20 s (average skilled typist), K' 0.28 s (average non-secretary typist).
Reading R: 238 words a minute, Brysbaert, Journal of Memory and Language 109 (2019) 104047. All
from memory. The model's hands are clean and at a desk: for gloves it is a lower bound.
"""

from collections.abc import Mapping

M, P, K, TYPED, WORD = 1.35, 1.10, 0.20, 0.28, 60 / 238
# How a figure of the table enters the sum.
PRESSES, PAD, CHARACTERS, WORDS = "presses", "pad keys", "characters", "words read"


def hand_seconds(figures: Mapping[str, str]) -> float:
    """Seconds [s] for what a walk counted; figures of another name cost nothing."""
    presses, pad, characters, words = (
        int(figures.get(name, "0")) for name in (PRESSES, PAD, CHARACTERS, WORDS)
    )
    pointed = (P + K) * (presses + pad)
    return M * presses + pointed + TYPED * characters + WORD * words
