"""What nets are called: plain letters for programs, the user's own spelling for people."""

from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.model.netlist import Netlist
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from boardgen.stages.pen import short
from tests.circuit.test_rules_catch import CATALOGUE

HEAD = '[band]\nlowest = "1.8 MHz"\nhighest = "10.15 MHz"\n[control]\ncables = 2\n'


def netlist(*labels: str) -> Netlist:
    antennas = "".join(f'[[antenna]]\nlabel = "{label}"\nfeed = "12 V 60 mA"\n' for label in labels)
    request = Request(read_text(HEAD + antennas), CATALOGUE)
    return freeze(request, compose(request, size(request)))


def test_a_label_is_not_told_by_the_beginning_or_end_of_another() -> None:
    found = netlist("Süd", "Süd Öst", "Nord")
    labels = {net.name: net.label for net in found.nets}
    assert labels["Sud centre"] == "Süd centre"
    assert labels["Sud Ost centre"] == "Süd Öst centre"
    assert labels["select Sud"] == "select Süd"
    assert labels["select Sud Ost"] == "select Süd Öst"
    assert labels["feed line Sud Ost"] == "feed line Süd Öst"
    assert labels["Nord centre"] == labels["bus centre"] == labels["0V"] == ""


def test_every_net_says_whose_it_is() -> None:
    found = netlist("Süd", "Süd Öst")
    of_one_strip = {
        net.name: {found.component[node.ref].subject.strip for node in net.nodes} - {""}
        for net in found.nets
        if net.called.strip
    }
    assert len(of_one_strip) > 20
    assert {net for net, strips in of_one_strip.items() if strips != {found.called[net].strip}} == set()
    assert found.braid_of["bus centre"] == "bus braid"
    assert found.braid_of["Sud Ost centre"] == "Sud Ost braid"


def test_a_drawing_shortens_the_name_of_its_own_strip_alone() -> None:
    found = netlist("Süd", "Süd Öst")
    assert short(found, "Sud centre", "Süd") == "… centre"
    assert short(found, "select Sud Ost", "Süd Öst") == "select …"
    assert short(found, "Sud Ost centre", "Süd") == "Sud Ost centre"
    assert short(found, "bus centre", "") == "bus centre"
