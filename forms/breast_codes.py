"""The answers offered when a breast or chest is looked at: each code that is kept, with the words shown for it.

Colour is described against the parent's own skin, never as red alone. Scales with marks keep the mark in their code
(`mark_3`); the words beside a mark are our own.
"""

from __future__ import annotations

from types import MappingProxyType

from forms.ask import codes

CONSENT = codes(
    look_touch="Given now, to look and to touch",
    look="Given now, to look only",
    stopped="Given, then asked to stop",
    told="Not looked at: described by the parent",
    declined="Declined",
    not_asked="Not asked",
)
FEED_TIMING = codes(before="Before a feed", after="After a feed", between="Between feeds")
EVENNESS = codes(
    even="About even",
    left_larger="Left somewhat larger",
    right_larger="Right somewhat larger",
    left_much="Left much larger",
    right_much="Right much larger",
)
SPACING = codes(narrow="Close together", usual="Some way apart", wide="Far apart")
SHAPE = codes(
    round="Full all round",
    inner_lacking="Less full below, toward the middle",
    lower_lacking="Less full below, on both sides",
    tube="Narrow, like a tube, with little around it",
    reshaped="Changed by an operation",
)
SIZE = codes(small="Small", medium="Medium", large="Large", very_large="Very large, needs holding")
SURFACE = codes(
    none="None of these", stretch_marks="Stretch marks", veins="Veins clearly seen", no_veins="No veins seen"
)
MARKS = codes(
    none="None", scar="Scar", implant="Implant", piercing="Piercing", birth_mark="Birth mark or mole", tattoo="Tattoo"
)
FULLNESS = codes(soft="Soft", filling="Filling", firm="Firm", hard="Hard")
ENGORGEMENT = codes(
    mark_1="1: soft, as before",
    mark_2="2: a little different",
    mark_3="3: firm, does not hurt",
    mark_4="4: firm, begins to hurt",
    mark_5="5: firm, hurts",
    mark_6="6: very firm, hurts much",
)
SWELLING = codes(none="None", some="Some", much="Much")
DENT = codes(no="Springs back", slowly="Dent fills slowly", stays="Dent stays", not_tried="Not tried")
STRETCH = codes(easily="Stretches easily", little="Stretches a little", hardly="Hardly stretches")
ARMPIT = codes(none="None", full="Full and soft", firm="Firm swelling", lump="Lump")
SKIN = codes(
    usual="As usual for this skin",
    darker="Darker than around it",
    red="Red",
    pink="Pink",
    purple="Purple",
    brown="Brown or grey",
    paler="Paler than around it",
    warm="Warm",
    shiny="Shiny or tight",
    wedge="A wedge of it",
    patch="A patch of it",
    dimpled="Dimpled",
    orange_peel="Like orange peel",
    rash="Rash",
)
SKIN_CHANGED = tuple(code for code in SKIN if code != "usual")
COURSE = codes(spreading="Spreading or worse", same="The same", fading="Fading", not_known="Not known")
SINCE = codes(
    under_24_h="Less than 24 hours",
    to_48_h="24 to 48 hours",
    to_72_h="48 to 72 hours",
    over_72_h="More than 72 hours",
    not_known="Not known",
)
LUMP = codes(none="None felt", felt="Felt", seen="Seen, not felt")
CONDITIONS = codes(
    none="None of these",
    eczema="Eczema, known",
    psoriasis="Psoriasis, known",
    contact="Reacts to something on it",
    dry="Dry, scaly or itchy",
    vesicles="Small fluid-filled blisters in a group",
)
NIPPLE = codes(
    everted="Stands out",
    flat="Flat",
    inverted="Turned in",
    dimpled="Dimpled in the middle",
    bifid="Split in two",
    extra="An extra nipple",
)
COMES_OUT = codes(yes="Comes out", partly="Comes out partly", no="Stays in", not_tried="Not tried")
SHAPE_AFTER = codes(
    round="Round",
    longer="Longer, still round",
    slanted="Slanted",
    ridged="Ridged or creased",
    flat="Flat",
    white="White",
)
DAMAGE = codes(
    none="None seen",
    red="Red or darker",
    swollen="Swollen",
    crack="Crack",
    blister="Blister",
    graze="Graze",
    open="Open",
    scab="Scab",
    yellow="Yellow crust",
    pus="Pus",
    bleeding="Bleeding",
    spreading="Spreads onto the areola",
)
DAMAGED = tuple(code for code in DAMAGE if code != "none")
TRAUMA = codes(
    mark_0="0: nothing seen",
    mark_1="1: red, darker or swollen, skin whole",
    mark_2="2: surface only, under a quarter of the nipple",
    mark_3="3: surface only, a quarter or more",
    mark_4="4: into the skin, under a quarter",
    mark_5="5: into the skin, a quarter or more",
)
STAGE = codes(
    stage_1="1: hurts or is red, skin whole",
    stage_2="2: shallow crack or graze",
    stage_3="3: deep crack, into the skin",
    stage_4="4: through the whole skin",
)
COLOUR_CHANGES = codes(
    none="None", white="White", blue="Blue or purple", red="Red", burning="Burning", throbbing="Throbbing"
)
COLOUR_CHANGED = tuple(code for code in COLOUR_CHANGES if code != "none")
COLOUR_WHEN = codes(cold="In the cold", after_feed="After a feed", between="Between feeds", not_known="Not known")
COLOUR_COURSE = codes(
    first="Seen once", comes_back="Comes back", stays="Still there after the latch was changed", not_known="Not known"
)
BLEB = codes(none="None", one="One white spot", several="Several")
DISCHARGE = codes(
    none="None", milk="Milk", clear="Clear", yellow="Yellow", green="Green or brown", blood="Blood", pus="Pus"
)
DISCHARGED = tuple(code for code in DISCHARGE if code not in ("none", "milk"))
DUCTS = codes(one="One", several="Several", not_known="Could not tell")
EXPRESSED = codes(none="Nothing came", drops="Drops", spray="Spray", not_tried="Not tried")

KINDS = codes(
    crack="Crack",
    blister="Blister",
    graze="Graze",
    open="Open place",
    scab="Scab",
    crust="Yellow crust",
    bleeding="Bleeding place",
    spot="White spot",
    lump="Lump",
    patch="Patch or wedge of skin",
    swelling="Swelling",
    scar="Scar",
)
SKIN_BROKEN = ("crack", "blister", "graze", "open", "scab", "crust", "bleeding")
LUMPS = ("lump", "swelling")
WHERE = codes(
    nipple="Nipple", base="Where nipple and areola meet", areola="Areola", breast="Breast or chest", armpit="Armpit"
)
CLOCK = MappingProxyType({f"hour_{hour}": f"{hour} o'clock" for hour in range(1, 13)})
DEPTH = codes(
    surface="Surface only",
    shallow="Shallow",
    deep="Into the skin",
    through="Through the whole skin",
    not_seen="Could not see",
)
FEEL = codes(soft="Soft", firm="Firm", hard="Hard", fluid="Gives like a bag of water", not_felt="Not felt")
MOVES = codes(moves="Moves", fixed="Does not move", not_tried="Not tried")
AFTER_FEED = codes(goes="Goes away", smaller="Smaller", same="The same", not_known="Not fed since")
