"""Whatever the text, the reader gives a machine or says what is wrong; never another exception."""

from hypothesis import example, given
from hypothesis import strategies as st

from layshaft.machine import Machine, MachineErrors, apply, read_text, set_from_text
from machine.samples import SMALL, every_key

GOOD = every_key()
SIGNS = [': ', '\n', '  ', '- ', '{', '}', '[', ']', ', ', "'", '"', '&a ', '*a', '!x ', '<<: ', 'open', 'same as ', 'same as drives.weight.mass', '±', 'between', '#', '%', '1e999', '-1', '0', '\t', '---\n', '...\n', '? ', '\x85', '\u2028', '\ufeff', '\ud800', 'name: ', 'kind: ', 'null', '~', '.nan', '1/0 m', '1/0', '²', '1,5', '9']
PIECES = sorted({word for word in SMALL.replace("\n", " ").split(" ") if word} | set(SIGNS))
MACHINE = read_text(GOOD)
PATHS = [*MACHINE.givens, "options", "shafts.main", "shafts.main.seats", "stages.worm.apex", "modules", "layshaft",
         "parts.jaw 35", "shafts.main.sections[0]", "shafts.main.seats.seat 0.key", "drives.crank.shaft"]


def attempt(doing):
    """What came of it: a machine, or the problems. Any other exception fails the test."""
    try:
        return doing()
    except MachineErrors as errors:
        return errors


def reads_or_says(text: str, parts: str = "") -> None:
    result = attempt(lambda: read_text(text, parts=parts))
    if isinstance(result, MachineErrors):
        assert result.problems
        assert all(p.sentence.strip() and "\n" not in p.sentence for p in result.problems)
        assert all(len(p.sentence) < 2000 for p in result.problems)
    else:
        assert isinstance(result, Machine)
        assert result.givens


@given(st.text(max_size=200))
@example("\x00")
@example("a: 1\r\n\tb: 2")
@example("? ")
@example("%YAML 9.9\n---\na: 1")
@example("%TAG ! tag:x,2000:\n---\na: !y 1")
@example("a: |\n  x\n b: 1")
@example("'" * 7)
def test_any_text(text):
    reads_or_says(text)


@given(st.lists(st.sampled_from(PIECES), max_size=40))
def test_any_pieces(pieces):
    reads_or_says("layshaft: 1\n" + "".join(pieces))


@given(st.lists(st.tuples(st.floats(0, 1), st.integers(0, 30), st.sampled_from(PIECES)), min_size=1, max_size=4),
       st.sampled_from([SMALL, GOOD]))
def test_a_good_file_with_some_of_it_changed(changes, text):
    for place, cut, piece in changes:
        at = int(place * len(text))
        text = text[:at] + piece + text[at + cut:]
    reads_or_says(text)


@given(st.data())
def test_a_good_file_with_one_value_changed(data):
    lines = SMALL.split("\n")
    number = data.draw(st.integers(0, len(lines) - 2))
    key, colon, _ = lines[number].partition(": ")
    if colon:
        lines[number] = f"{key}: {data.draw(st.one_of(st.sampled_from(PIECES), st.text(max_size=20)))}"
    reads_or_says("\n".join(lines))


@given(st.text(alphabet=st.sampled_from('name,kind;"\n\r coupling0123456789.mN=#\x00é'), max_size=200))
@example("\"0\n0")
@example("\"x\n")
@example("x" * 140_000 + ",steel\n")
def test_any_parts_list(text):
    reads_or_says(SMALL, "name,kind\n" + text)


VALUES = st.recursive(
    st.one_of(st.sampled_from(PIECES), st.text(max_size=10), st.integers(), st.floats(), st.booleans(), st.none()),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)),
    max_leaves=4)
SOME_PATH = st.one_of(st.sampled_from(PATHS), st.text(max_size=20))


@given(st.dictionaries(st.sampled_from(["set", "add", "remove", "rename", "sett"]), st.one_of(
    st.dictionaries(SOME_PATH, VALUES, max_size=2), st.lists(SOME_PATH, max_size=2), VALUES), max_size=3))
@example({"set": {"shafts.main[0]": "1 mm"}})
@example({"add": {"drives.crank.radius.x": "1 mm"}})
@example({"remove": ["shafts.main.sections[0]"]})
@example({"remove": ["shafts", "drives"]})
@example({"remove": ["layshaft"], "rename": {"shafts.main": "a.b"}})
@example({"rename": {"options.duplex": "0"}})
@example({"rename": {"options.duplex": "main"}, "set": {"options.duplex": "x"}})
@example({"set": {"options.duplex.set.stages.roller chain.chain": "x"}})
def test_any_option(option):
    result = attempt(lambda: apply(MACHINE, option))
    assert isinstance(result, Machine) or result.problems


@given(st.lists(st.builds(lambda path, text: f"{path}={text}", SOME_PATH, st.one_of(
    st.sampled_from(PIECES), st.text(max_size=10))), max_size=3))
@example(["drives.crank.radius=[1"])
@example(["drives.crank.radius={a: &x 1}"])
@example(["=x"])
@example(["x"])
def test_any_set_from_text(items):
    result = attempt(lambda: apply(MACHINE, set_from_text(items)))
    assert isinstance(result, Machine) or result.problems
