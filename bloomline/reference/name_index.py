"""Find cultivars by words: in any order, by part of a word, in the plural, or misspelt."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from difflib import SequenceMatcher, get_close_matches
from functools import cached_property
from itertools import groupby, product

from bloomline.model.cultivar import Cultivar
from bloomline.reference.cultivar_names import CultivarNames, spaced
from bloomline.reference.folding import fold

NEAREST = 3
"""So many names are offered for one that nobody knows."""

_WHOLE, _BEGINNING, _LOOK, _INSIDE = range(4)
_LEAST_INSIDE = 3  # letters of a part that may stand inside a word
_LEAST_SLIP = 5  # letters of a word of which a slip still tells what was meant
_MOST_MISSPELT = 3
_NEAR_WORD = 0.65
_NEAR_NAME = 0.6
_TRIED = 40
_LONGEST_NAME = 8  # words
_LONGEST_TEXT = 120  # letters
_OTHER_LETTERS = 2  # of a word, so many letters may be others than those of one like it

Also = Callable[[str], Collection[str]]
"""Ids of the cultivars that a word fits for another reason than a name."""


class NameIndex:
    """The words of all names, kinds, groups and colours, each with the cultivars that bear it."""

    def __init__(self, cultivars: Iterable[Cultivar], names: Mapping[str, CultivarNames]) -> None:
        self._names = names
        self._words: dict[str, set[str]] = {}
        self._looks: dict[str, set[str]] = {}
        self._phrases: dict[str, set[str]] = {}
        self._short: dict[str, set[str]] = {}
        self._order: dict[str, int] = {}
        self._looked_up: dict[str, list[str]] = {}
        for order, cultivar in enumerate(cultivars):
            each = names[cultivar.id]
            self._order[cultivar.id] = order
            for form in (*each.whole, *each.short, *each.kinds):
                for word in form.split():
                    self._words.setdefault(word, set()).add(cultivar.id)
            for form in each.short:
                # "Star Gazer" is typed in one word, too.
                for typed in (form, form.replace(" ", "")):
                    self._short.setdefault(typed, set()).add(cultivar.id)
                self._words.setdefault(form.replace(" ", ""), set()).add(cultivar.id)
            for kind in each.kinds:
                self._phrases.setdefault(kind, set()).add(cultivar.id)
            # Remarks in brackets, too, are found when they are typed.
            looks = (cultivar.group, cultivar.colour, *cultivar.synonyms)
            for word in fold(" ".join(looks)).split():
                self._looks.setdefault(word, set()).add(cultivar.id)
        self._sorted = sorted({*self._words, *self._looks})

    def __len__(self) -> int:
        return len(self._order)

    def search(self, words: Sequence[str], *, also: Also | None = None) -> dict[str, int]:
        """Ids of the cultivars that every word fits, in their order, each with its rank.

        words : folded. First come those whose whole epithet is among the words (0), then those
        whose kind is, or whose epithet begins with the words where they name no kind (1), then all
        others that they fit (2), and at last those in which one of them only stands inside a word
        (3). `also` may let a word fit for another reason than a name.
        """
        ranks: dict[str, int] | None = None
        for word in words:
            fits = self._fits(word)
            if also is not None:
                for name in also(word):
                    fits[name] = min(fits.get(name, _LOOK), _LOOK)
            if ranks is None:
                ranks = fits
            else:
                ranks = {name: max(r, fits[name]) for name, r in ranks.items() if name in fits}
            if not ranks:
                return {}
        if ranks is None:
            return dict.fromkeys(self._order, 2)
        epithet = self._of_name(words)
        kind = self._of_kind(words) or self._begun(" ".join(words))
        return {
            name: 0 if name in epithet else 1 if name in kind else 2 if ranks[name] < _INSIDE else 3
            for name in sorted(ranks, key=self._order.__getitem__)
        }

    def of_kind(self, text: str) -> set[str]:
        """Ids of a kind by any of its names, in the plural as well."""
        return self._phrases_named(spaced(text).split())

    def meant(self, words: Sequence[str]) -> tuple[list[str], list[str]]:
        """Ids of the cultivars that words can mean by name: surely, and those only in part.

        Surely where every word is one of its names and one name (without its genus) stands whole
        among them.
        """
        found: set[str] | None = None
        for word in words:
            fits = self._bear(word)
            found = fits if found is None else found & fits
        some = sorted(found or (), key=self._order.__getitem__)
        typed = {form for word in words for form in _forms(word)}
        return [name for name in some if self._is_covered(name, typed)], some

    def mended(self, words: Sequence[str]) -> list[str]:
        """Ids of the cultivars that words mean when one letter of each unknown word is wrong."""
        unknown = [word for word in words if not self._bear(word)]
        if not unknown or len(unknown) > _MOST_MISSPELT:
            return []
        choices = [[word] if word not in unknown else self._one_slip_away(word) for word in words]
        found: dict[str, None] = {}
        for tried in list(product(*choices))[:_TRIED]:
            found |= dict.fromkeys(self.meant(tried)[0])
        return list(found)

    def nearest(self, text: str, *, limit: int = NEAREST) -> list[str]:
        """Ids of the cultivars whose names are most like a text, best first."""
        typed = spaced(text[:_LONGEST_TEXT])
        if not typed:
            return []
        points: dict[str, float] = {}
        for word in typed.split()[:_LONGEST_NAME]:
            near = [word] if word in self._words else self._like(word)
            best: dict[str, float] = {}
            for each in near:
                like = 1.0 if each == word else SequenceMatcher(None, word, each).ratio()
                for name in self._words.get(each, ()):
                    best[name] = max(best.get(name, 0.0), like)
            for name, like in best.items():
                points[name] = points.get(name, 0.0) + like * len(word)
        tried = sorted(points, key=lambda name: (-points[name], self._order[name]))[:_TRIED]
        matcher = SequenceMatcher(autojunk=False)
        matcher.set_seq2(typed)
        ratios: dict[str, float] = {}
        for name in tried:
            for form in (*self._names[name].whole, *self._names[name].short):
                matcher.set_seq1(form)
                ratios[name] = max(ratios.get(name, 0.0), matcher.ratio())
        least = max(_NEAR_NAME, 0.75 * max(ratios.values(), default=0.0))
        good = [name for name in tried if ratios[name] >= least]
        return sorted(good, key=lambda name: (-ratios[name], self._order[name]))[:limit]

    # How words fit

    def _fits(self, word: str) -> dict[str, int]:
        """Ids that a word fits, and how well."""
        found: dict[str, int] = {}
        # A letter or two inside a word say nothing.
        parts = (
            [each for each in self._sorted if word in each] if len(word) >= _LEAST_INSIDE else []
        )
        for each in parts:
            self._note(found, each, _INSIDE)
        for form in _forms(word):
            for each in self._beginning(form):
                self._note(found, each, _LOOK if each not in self._words else _BEGINNING)
            self._note(found, form, _WHOLE)
        return found

    def _note(self, found: dict[str, int], word: str, rank: int) -> None:
        for name in self._words.get(word, ()):
            found[name] = min(found.get(name, rank), rank)
        look = max(rank, _LOOK)
        for name in self._looks.get(word, ()):
            found[name] = min(found.get(name, look), look)

    def _beginning(self, start: str) -> list[str]:
        at = bisect_left(self._sorted, start)
        found = []
        while at < len(self._sorted) and self._sorted[at].startswith(start):
            found.append(self._sorted[at])
            at += 1
        return found

    def _bear(self, word: str) -> set[str]:
        """Ids that bear a word in a name; a single letter may be that of a genus."""
        found: set[str] = set()
        for form in _forms(word):
            found |= self._words.get(form, set())
        if len(word) == 1 and word.isalpha():
            found |= {name for name, each in self._names.items() if each.kinds[0][0] == word}
        return found

    def _is_covered(self, name: str, typed: set[str]) -> bool:
        names = self._names[name]
        genus = {names.kinds[0]}
        forms = [set(form.split()) for form in names.short]
        forms += [set(form.split()) - genus for form in names.whole]
        forms += [{form.replace(" ", "")} for form in names.short]
        return any(form and form <= typed for form in forms)

    def _of_name(self, words: Sequence[str]) -> set[str]:
        """Ids of which an epithet stands whole among the words, in one word or several."""
        found: set[str] = set()
        for start in range(len(words)):
            for end in range(start + 1, min(start + _LONGEST_NAME, len(words)) + 1):
                found |= self._short.get(" ".join(words[start:end]), set())
        return found

    def _of_kind(self, words: Sequence[str]) -> set[str]:
        """Ids whose kind is named by the longest run of words that names one."""
        for length in range(min(len(words), 4), 0, -1):
            found: set[str] = set()
            for start in range(len(words) - length + 1):
                found |= self._phrases_named(words[start : start + length])
            if found:
                return found
        return set()

    def _begun(self, text: str) -> set[str]:
        """Ids of which an epithet begins with a text."""
        forms = (ids for form, ids in self._short.items() if form.startswith(text))
        return set().union(*forms)

    def _phrases_named(self, words: Sequence[str]) -> set[str]:
        found: set[str] = set()
        for last in _forms(words[-1]) if words else ():
            found |= self._phrases.get(" ".join((*words[:-1], last)), set())
        return found

    @cached_property
    def _letters(self) -> dict[str, frozenset[str]]:
        return {word: frozenset(word) for word in self._words}

    def _like(self, word: str) -> list[str]:
        """Words that look like one, the most alike first."""
        if word not in self._looked_up:
            # Most words share too few letters with it to be looked at closely.
            letters = frozenset(word)
            least = len(letters) - _OTHER_LETTERS
            among = [
                each
                for each, held in self._letters.items()
                if abs(len(each) - len(word)) <= _OTHER_LETTERS and len(held & letters) >= least
            ]
            self._looked_up[word] = get_close_matches(word, among, n=6, cutoff=_NEAR_WORD)
        return self._looked_up[word]

    def _one_slip_away(self, word: str) -> list[str]:
        """Words from which one letter is missing, too many, wrong or in its neighbour's place.

        Words that sound alike count as well ("triumfator").
        """
        found = []
        for each in self._like(word):
            longest = max(len(word), len(each))
            ratio = SequenceMatcher(None, word, each, autojunk=False).ratio()
            is_slip = abs(len(word) - len(each)) <= 1 and ratio >= 1.0 - 1.0 / longest - 1e-9
            if longest >= _LEAST_SLIP and (is_slip or _sound(word) == _sound(each)):
                found.append(each)
        return found


def _sound(word: str) -> str:
    """A word without the letters that are written in several ways for one sound."""
    for letters, sound in (
        ("ph", "f"),
        ("th", "t"),
        ("ck", "k"),
        ("y", "i"),
        ("c", "k"),
        ("z", "s"),
    ):
        word = word.replace(letters, sound)
    return "".join(letter for letter, _ in groupby(word))


def _forms(word: str) -> tuple[str, ...]:
    """A word, and what it may be the plural of ("lilies", "crocuses", "narcissi")."""
    found = [word]
    if len(word) > 3:
        if word.endswith("ies"):
            found.append(word[:-3] + "y")
        if word.endswith("es"):
            found.append(word[:-2])
        if word.endswith("s"):
            found.append(word[:-1])
        if word.endswith("i"):
            found.append(word[:-1] + "us")
    return tuple(found)
