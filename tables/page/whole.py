"""The whole page put together: which parts it has, for one size, several sizes or a family.

One size shows every candidate in full. Of several sizes each shows all of its candidates in a
table and the best in full; of a family the first is shown in full, with one pattern for all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenround.solver.candidate import Candidate
from evenround.tables import draw
from evenround.tables.family import Graded, no_family
from evenround.tables.family.under import warning_lines
from evenround.tables.family.words import family_shared, odd_words, score_line
from evenround.tables.pattern import MOST_SIZES, write_all_sizes
from evenround.tables.remarks import remarks
from evenround.tables.underneath import gauge_error
from evenround.tables.words import clean, listed

from .answers import Answers, SizeAnswer
from .asked import asked, told, told_cautions
from .compare import candidates_table, family_table, near_table, sizes_table
from .designs import design, title_of
from .nothing import stuck
from .views import Design, Fact, Kin, Page, Pattern, Size, Table
from .written import all_sizes

PROVEN = "Best first; the first is proven the best."
BEST_PROVEN = "Each size by itself; each is proven the best of its size."
BEST_UNPROVEN = "Each size by itself; not all proven, for time ran out."
UNPROVEN = "Not proven: time ran out, these are the best found so far."
EFFICIENT = (
    "Efficient: no other candidate here is at least as good in fit, shape and effort and "
    "better in one of them."
)
ELSEWHERE = ("Near misses", "Assumed: ", "Note: ", "Caution: ")
"""What the words on a family that cannot be made begin with where the page has its own place."""
NEAR_NONE = "No other count is just outside a single requirement."


def page_of(answers: Answers) -> Page:
    """Everything the templates show. Solves nothing."""
    plans, unit = answers.plans, answers.unit
    graded = answers.graded
    return Page(
        title=clean(plans[0].title) or "A piece in the round",
        language="en-GB" if plans[0].terms == "uk" else "en-US",
        subtitle=_subtitle(answers),
        asked=tuple(asked(plans, unit)),
        status=_status(answers),
        cautions=told_cautions(plans),
        beside=None if graded is not None else _beside(answers),
        kin=() if graded is None else tuple(_kin(graded)),
        kin_none=() if graded is None or graded.grade.families else tuple(_no_kin(graded, answers)),
        sizes=tuple(_sizes(answers)),
        all_sizes=_pattern_for_all(answers),
        remarks=(*_gauge(answers), *told(plans)),
        source=answers.source,
        picture_style=draw.STYLE,
    )


def _subtitle(answers: Answers) -> str:
    plans = answers.plans
    if answers.graded is not None:
        return f"{len(plans)} sizes as one family"
    if len(plans) > 1:
        return f"{len(plans)} sizes, each at its best"
    found = len(answers.sizes[0].fit.candidates)
    size = f"size {clean(plans[0].size)}, " if len(plans[0].sizes) > 1 else ""
    many = "no candidate" if not found else f"{found} candidate{'s' * (found > 1)}"
    return f"{size}{many}"


def _status(answers: Answers) -> str:
    if answers.graded is not None:
        return _order(answers.graded.grade.status) if answers.graded.grade.families else ""
    found = [each.fit.status for each in answers.sizes if each.fit.candidates]
    none = [clean(each.plan.size) for each in answers.sizes if not each.fit.candidates]
    words = BEST_UNPROVEN if "unproven" in found else BEST_PROVEN
    return f"{words} No design for {listed(none)}: why stands below." if none else words


def _order(status: str) -> str:
    return UNPROVEN if status == "unproven" else PROVEN


def _beside(answers: Answers) -> Table | None:
    """Each size's best beside the others', where there are several."""
    best = [(each.plan, each.fit.candidates[0]) for each in answers.sizes if each.fit.candidates]
    if len(best) < 2:
        return None
    plans, candidates = zip(*best, strict=True)
    return sizes_table(plans, candidates, answers.unit, "Each size's best, side by side")


# --- sizes ---------------------------------------------------------------------------------


def _sizes(answers: Answers) -> Iterator[Size]:
    if answers.graded is not None and answers.graded.grade.families:
        yield from _members(answers, answers.graded)
        return
    for place, each in enumerate(answers.sizes, 1):
        yield _size(answers, each, f"s{place}")


def _size(answers: Answers, each: SizeAnswer, anchor: str) -> Size:
    name = clean(each.plan.size) if len(each.plan.sizes) > 1 else ""
    candidates = each.fit.candidates
    if not candidates:
        reasons = stuck(each.explained, answers.unit, answers.seconds)
        near = near_table(each.plan, each.fit, answers.unit)
        return Size(anchor, name, "", None, (), near, NEAR_NONE, (), reasons)
    full = candidates if len(answers.sizes) == 1 else candidates[:1]
    anchors = [f"{anchor}-c{c.rank}" if c in full else "" for c in candidates]
    return Size(
        anchor=anchor,
        name=name,
        status=_order(each.fit.status),
        compared=candidates_table(each.plan, candidates, answers.unit, anchors),
        legend=(EFFICIENT,) * any(c.pareto for c in candidates),
        near=near_table(each.plan, each.fit, answers.unit),
        near_none=NEAR_NONE,
        designs=tuple(_designs(answers, each, full, anchors)),
        stuck=None,
    )


def _designs(
    answers: Answers, each: SizeAnswer, full: Sequence[Candidate], anchors: Sequence[str]
) -> Iterator[Design]:
    praises = remarks(each.fit.candidates)
    for candidate, anchor, praise in zip(full, anchors, praises, strict=False):
        yield design(
            each.plan,
            candidate,
            answers.unit,
            answers.known,
            anchor=anchor,
            title=title_of(candidate, answers.unit),
            praise=_best_at(praise, candidate),
            left_handed=answers.left_handed,
        )


def _best_at(remark: str, candidate: Candidate) -> str:
    """The praise alone: warnings have a place of their own."""
    from evenround.tables.reasons import notice_words

    own = {notice_words(n) for n in candidate.measures.notices}
    return ", ".join(word for word in remark.split("; ") if word and word not in own)


# --- families ------------------------------------------------------------------------------


def _kin(graded: Graded) -> Iterator[Kin]:
    for family in graded.grade.families:
        sentences = [score_line(family).partition(": ")[2], family_shared(graded, family)]
        if differ := odd_words(graded, family):
            sentences.append(f"Differ: {'; '.join(differ)}.")
        sentences += [_joined(line).removeprefix("> ") for line in warning_lines(graded, family)]
        said = tuple(map(_upper, sentences))
        yield Kin(f"f{family.rank}", f"Family {family.rank}", said, family_table(graded, family))


def _no_kin(graded: Graded, answers: Answers) -> Iterator[str]:
    if graded.grade.status == "unproven":
        yield f"Nothing found within {answers.seconds:g} s, and nothing proven impossible."
        return
    for block in no_family(graded).split("\n\n"):
        if not block.startswith(ELSEWHERE):
            yield _joined(block)


def _members(answers: Answers, graded: Graded) -> Iterator[Size]:
    """The sizes of the first family, each in full."""
    pairs = zip(graded.plans, graded.grade.families[0].members, graded.names, strict=True)
    for place, (plan, candidate, name) in enumerate(pairs, 1):
        made = design(
            plan,
            candidate,
            answers.unit,
            answers.known,
            anchor=f"s{place}-c1",
            title=title_of(candidate, answers.unit, name="In the first family"),
            pattern=not _one_pattern(graded),
            left_handed=answers.left_handed,
        )
        yield Size(f"s{place}", name, "", None, (), None, "", (made,), None)


def _one_pattern(graded: Graded) -> bool:
    return 1 < len(graded.plans) <= MOST_SIZES


def _pattern_for_all(answers: Answers) -> Pattern | None:
    graded = answers.graded
    if graded is None or not graded.grade.families or not _one_pattern(graded):
        return None
    members = graded.grade.families[0].members
    made = write_all_sizes(graded.plans, members, answers.known, unit=answers.unit)
    return all_sizes(made)


# --- under it all --------------------------------------------------------------------------


def _gauge(answers: Answers) -> Iterator[Fact]:
    """What an ordinary slip of gauge does, for the first size and the last."""
    lines: dict[str, None] = {}
    sizes = answers.sizes
    for each in (*sizes[:1], *sizes[1:][-1:]):
        lines.setdefault(_joined(gauge_error(each.plan, each.fit, answers.unit)))
    if answers.graded is not None:
        from evenround.tables.family.under import gauge_line

        lines.setdefault(_joined(gauge_line(answers.graded)))
    if said := tuple(_upper(line.removeprefix("Gauge: ")) for line in lines if line):
        yield Fact("How far a slip of gauge goes", said)


def _joined(text: str) -> str:
    return " ".join(text.split())


def _upper(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
