"""What works may hurt by that the plan can't measure, each said once, with where it is from; read on 2026-11-28 where read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType

from quincunx.build.hands import hands
from quincunx.features import Feature
from quincunx.scene import Timeline
from quincunx.works import Job

CEMENT = (
    "Wet concrete, mortar and lime burn skin and eyes, often unfelt at first: gloves, glasses, long sleeves, boots; don't"
    " kneel in it, none inside glove or boot, wash splashes off at once. Don't breathe the dust of the dry mix."
)
"""HSE Construction Information Sheet 26 (rev. 2), Cement: read in public copies (designingbuildings.co.uk, studymode.com)."""
DUST = (
    "Dust of cut stone, brick and concrete scars the lungs: split it where that will do; else wet the cut and wear the"
    " finest mask (FFP3 or its like). Nobody in the dust, no dry sweeping."
)
"""HSE, Construction dust: cutting paving blocks, kerbs and flags (hse.gov.uk: read; dry sweeping: common practice)."""
ENGINES = (
    "Engines (compactor, cutter, generator) run in the open only, never in a shed, a trench or under a sheet: their fumes"
    " kill unnoticed. Fill them cold."
)
"""Florida Department of Health, tips against carbon monoxide (lakeonews.com, 2024: read); filling: common practice, no source."""
SAWDUST = "If timber is treated: a mask while it is sawn; its dust and offcuts neither on the soil nor in a fire."
"""Common practice, no source here; which treatments hold arsenic is told by country (``site/data/codes.csv``)."""
OLD = (
    "Grey cement sheets on old sheds may hold asbestos: not broken, drilled or sawn; have one looked at, and ask the town"
    " who may take them away. Old paint may hold lead: no dry sanding, no burning off."
)
"""City of York, Disposing of asbestos safely (york.gov.uk: read); EPA 747-K-97-001, Reducing lead hazards when remodeling
your home (nepis.epa.gov: its contents read, the rest from memory)."""
BY_KEY: Mapping[str, str] = MappingProxyType({"dust": DUST, "engine": ENGINES, "treated": SAWDUST})
"""Words by what a sort of work is dangerous by (``build/data/hands.json``), where its hands alone tell it."""
MOWING = (
    "Mowers and strimmers throw stones: pick the ground over first, glasses and stout shoes on, children and others well"
    " away. What runs on the mains goes through a residual-current device (RCD, GFCI), not on wet ground nor beside water;"
    " unplugged before a blade is touched."
)
"""Electrical Safety First, Garden (electricalsafetyfirst.org.uk: read); Horticulture Week on grass trimmers (hortweek.com: read)."""
ANYWHERE = (
    "Soil and manure carry tetanus, and a scratch lets it in: gloves, wounds washed and covered, the vaccination up to date.",
    "Ticks sit in long grass, hedges and leaves: long trousers; look yourself over the same day, take one out with fine tweezers.",
    "After a tick: a doctor if a ring of red or a fever follows.",
    "Wasps nest in hedges, sheds and the ground: look and listen before you cut or dig; leave a nest to those who know how.",
    "A hollow sound, a slab or a hole nobody can explain may be an old well or pit: off it, fence it, have it looked at.",
    "A ladder stands on firm level ground, on a board where that is soft, and not in wind; somebody knows where you work.",
    MOWING,
)
"""For every garden.  Tetanus: Michigan State University Extension, Ten-year tetanus shots (canr.msu.edu: read).  Ticks: Lyme
Disease Action and Hertfordshire County Council (lymediseaseaction.org.uk, thethreevillages.com: read).  Wasps, wells and
ladders: common practice, no source."""


def by_hand(norms: Iterable[str]) -> Iterator[str]:
    """Yield the care that sorts of work ask for by how they are done, each once."""
    keys = {key for norm in norms for key in hands()[norm].care}
    yield from (words for key, words in BY_KEY.items() if key in keys)


def taken_down(through: Timeline, job: Job) -> bool:
    """Return whether a job takes down anything built that stood there before the plan."""
    old = (through.feature(name) for name in job.takes_away)
    there = (f for f in old if isinstance(f, Feature) and f.there_from == "start")
    return any(not solid.grown for f in there for solid in through.as_made(f).solids)
