"""Who is used up with a trainee (R9.3)."""

from competencies.standing.supervising import Lesson, Slot, supervise

ANA, BEN, BEA, CHEN = range(4)
FILLER, SEAMER, PACKER = 10, 11, 12


def slot(station, task, *, critical=False, machine=None):
    return Slot(station=station, task=task, is_critical=critical, machine=machine)


def lesson(trainee, task, *, machine=None):
    return Lesson(trainee=trainee, trainer=CHEN, task=task, machine=machine)


def settled(slots, lessons, *, neighbours=(), able=None):
    able = [[CHEN] for _ in slots] if able is None else able
    return supervise(slots, able, lessons, neighbours=neighbours)


def test_whoever_watches_holds_the_trainees_slot():
    found = settled([slot(FILLER, "T1"), slot(SEAMER, "T2")], [lesson(ANA, "T2")])

    assert found.fixed == {1: CHEN}
    assert found.lessons[1].trainee == ANA
    assert found.loose == ()


def test_whoever_does_not_count_there_covers_nothing_by_watching():
    found = settled([slot(FILLER, "T1")], [lesson(ANA, "T1")], able=[[]])

    assert found.fixed == {}
    assert [each.trainee for each in found.loose] == [ANA]


def test_two_neighbouring_stations_may_be_watched_by_one():
    slots = [slot(FILLER, "T1"), slot(SEAMER, "T2")]
    lessons = [lesson(ANA, "T1"), lesson(BEN, "T2")]

    assert settled(slots, lessons, neighbours={(FILLER, SEAMER)}).fixed == {0: CHEN, 1: CHEN}
    assert settled(slots, lessons).fixed == {0: CHEN}


def test_a_third_station_may_not():
    slots = [slot(FILLER, "T1"), slot(SEAMER, "T2"), slot(PACKER, "T3")]
    pairs = {(FILLER, SEAMER), (SEAMER, PACKER), (FILLER, PACKER)}

    found = settled(slots, [lesson(ANA, "T1"), lesson(BEN, "T2"), lesson(BEA, "T3")], neighbours=pairs)

    assert found.fixed == {0: CHEN, 1: CHEN}
    assert [each.trainee for each in found.loose] == [BEA]


def test_on_critical_tasks_it_is_one_to_one():
    for first, second in ((True, False), (False, True)):
        slots = [slot(FILLER, "T1", critical=first), slot(SEAMER, "T2", critical=second)]

        found = settled(slots, [lesson(ANA, "T1"), lesson(BEN, "T2")], neighbours={(FILLER, SEAMER)})

        assert found.fixed == {0: CHEN}


def test_a_lesson_at_a_machine_is_at_that_machine():
    slots = [slot(FILLER, "T1", machine=1), slot(SEAMER, "T1", machine=2)]

    assert settled(slots, [lesson(ANA, "T1", machine=2)]).fixed == {1: CHEN}
    assert settled(slots, [lesson(ANA, "T1")]).fixed == {0: CHEN}
