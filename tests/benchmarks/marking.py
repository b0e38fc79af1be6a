"""How well and how fast answers are marked: slips and right answers planted in the problems of every calculation."""

from concurrent.futures import ProcessPoolExecutor

from assessments.calculations import calculation, calculations
from assessments.generation import problem
from assessments.marking import mark
from assessments.reader import read_quantity
from assessments.vocabulary import AnswerKind
from tests.assessments.planted import NAMED_SHARE, right_ways, slip_typed, tally_of
from tests.benchmarks.figure import Figure, medians_ms

NAME = "marking"
#: Problems for each calculation, unless `--problems` says otherwise.
PROBLEMS = 300
_COLUMNS = ("slips named", "slips named first", "pairs named", "powers told", "right asked about")
_SPEED_PROBLEMS = 5


def figures(*, problems=PROBLEMS, workers=1):
    """Return the two shares that the marking is held to, over every calculation together, and its speed."""
    tallies = tallies_of(problems, workers)
    total = {name: sum(tally.counts[name] for tally in tallies) for name in ("slips", "slips named", "right")}
    missed, wrong = total["slips"] - total["slips named"], sum(tally.wrong for tally in tallies)
    worst = max(1 - tally.named for tally in tallies)
    read_ms, marked_ms, worked_ms = speeds()
    allowed = 1 - NAMED_SHARE
    return [
        _figure("slips not named", "", missed, "slips planted", total["slips"], goal=allowed, detail=_detail(tallies)),
        _figure("the same, worst calculation", "", worst, "one in one", 1.0, goal=allowed),
        _figure("right answers marked wrong", "", wrong, "right answers typed", total["right"], goal=0.0),
        _figure("1000 answers marked", "ms", marked_ms, "the same only read", read_ms, goal=10.0),
        _figure("1000 problems worked with slips", "ms", worked_ms, "1000 answers read", read_ms),
    ]


def _figure(name, unit, measured, baseline_name, baseline, *, goal=None, detail=()):
    return Figure(
        name=name,
        unit=unit,
        measured=measured,
        baseline_name=baseline_name,
        baseline=baseline,
        goal=goal,
        detail=detail,
    )


def _detail(tallies):
    return (_heading(), *(_line(tally) for tally in tallies), *_examples(tallies))


def tallies_of(problems, workers):
    """Return the tally of every calculation, worked by so many processes."""
    tasks = [(code, problems) for code in calculations()]
    if workers == 1:
        return [_tally(task) for task in tasks]
    with ProcessPoolExecutor(workers) as pool:
        return list(pool.map(_tally, tasks))


def _tally(task):
    code, problems = task
    return tally_of(calculation(code), range(problems))


def speeds():
    """Return what it costs to read 1000 answers, to mark them, and to work 1000 problems with all their slips."""
    codes = [code for code, kind in calculations().items() if kind.kind is AnswerKind.QUANTITY]
    made = [problem(code, seed) for code in codes for seed in range(_SPEED_PROBLEMS)]
    typed = [(each, text) for each in made for text in (*right_ways(each).values(), *_slips_typed(each))]
    per_thousand = 1000 / len(typed)
    read, marked, worked = medians_ms(
        lambda: [read_quantity(text) for _, text in typed],
        lambda: [mark(each, text) for each, text in typed],
        lambda: [problem(each.calculation.code, each.seed).slips for each in made],
    )
    return read * per_thousand, marked * per_thousand, worked * 1000 / len(made)


def _slips_typed(made):
    return [slip_typed(made, (slip,)) for slip in made.slips]


def _heading():
    return (
        f"{'calculation':<20}{'problems':>9}{'slips':>8}"
        + "".join(f"{name:>19}" for name in _COLUMNS)
        + (f"{'right typed':>13}{'marked wrong':>14}")
    )


def _line(tally):
    wholes = {"slips named": "slips", "slips named first": "slips", "pairs named": "pairs", "powers told": "powers"}
    shares = [tally.share(name, wholes.get(name, "right")) for name in _COLUMNS]
    told = "".join(f"{'':>19}" if share is None else f"{100 * share:>17.2f} %" for share in shares)
    counts = tally.counts
    return f"{tally.code:<20}{counts['problems']:>9}{counts['slips']:>8}{told}{counts['right']:>13}{tally.wrong:>14}"


def _examples(tallies):
    return [
        f"  {tally.code}: {' '.join(map(str, what))}: seed {seed}, typed {typed}, told {told}"
        for tally in tallies
        for what, (seed, typed, told) in tally.misses.items()
    ]
