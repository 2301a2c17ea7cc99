"""The answers offered in a parent's history: each code that is kept, with the words shown for it."""

from __future__ import annotations

from forms.ask import codes

STOPPED_FOR = codes(
    supply="Milk supply",
    pain="Pain",
    work="Work or school",
    illness="Illness or medicine",
    baby_stopped="The child stopped",
    own_choice="Own choice",
    still_feeding="Still feeding",
    other="Another reason",
)
CONCEPTION = codes(
    none="None",
    medicine="Medicine",
    insemination="Insemination",
    ivf="In vitro fertilisation",
    donor="Donor egg or embryo",
    other="Other help",
)
HORMONES = codes(
    none="None",
    polycystic="Polycystic ovaries",
    thyroid="Thyroid",
    diabetes="Diabetes before pregnancy",
    gestational_diabetes="Diabetes in pregnancy",
    pituitary="Pituitary",
    infertility="Infertility",
    other="Another hormone condition",
)
CONDITIONS = codes(
    none="None",
    high_blood_pressure="High blood pressure",
    anaemia="Anaemia",
    autoimmune="Autoimmune",
    skin="Skin",
    cold_fingers="Fingers or nipples white in the cold",
    heart="Heart",
    kidney="Kidney",
    infection="Infection",
    operation="Operation",
    hiv="HIV",
    htlv="HTLV",
    tuberculosis="Active tuberculosis",
    breast_herpes="Herpes on the breast or chest",
    chemotherapy="Chemotherapy",
    radio_isotope="Radioactive test or treatment",
    other="Another condition",
)
ASK_BEFORE_ADVICE = ("hiv", "htlv", "tuberculosis", "breast_herpes", "chemotherapy", "radio_isotope")
"""Conditions with which a provider is asked before any feeding advice."""

PREGNANCY = codes(
    none="None",
    bleeding="Bleeding",
    bed_rest="Bed rest",
    high_blood_pressure="High blood pressure in pregnancy",
    slow_growth="Baby grew slowly",
    early_labour="Early labour",
    vomiting="Severe vomiting in pregnancy",
    other="Another problem",
)
SIZE_CHANGE = codes(none="No change", little="A little", clear="Clear change", not_known="Not known")
LABOUR = codes(by_itself="By itself", induced="Induced", none="No labour")
DRIP = codes(none="None", some="Some", heavy="Much", not_known="Not known")
PAIN_RELIEF = codes(
    none="None", gas="Gas", injection="Injection", epidural="Epidural or spinal", general="General anaesthetic",
    not_known="Not known",
)  # fmt: skip
BIRTH = codes(
    vaginal="Vaginal",
    instrument="With an instrument",
    caesarean_planned="Caesarean, planned",
    caesarean_unplanned="Caesarean, not planned",
)
SKIN = codes(
    first_hour="Within the first hour", same_day="Later that day", later="After the first day", none="None yet",
    not_known="Not known",
)  # fmt: skip
AFTER_BIRTH = codes(
    none="None of these",
    blood_loss="Heavy blood loss",
    retained_tissue="Retained tissue",
    fever="Fever",
    transfusion="Transfusion",
    severe_blood_pressure="Severe high blood pressure",
)
SURGERY = codes(
    none="None",
    reduction="Reduction",
    augmentation="Augmentation",
    top_surgery="Top surgery",
    biopsy="Biopsy",
    drained="Abscess drained",
    piercing="Piercing",
    radiation="Radiation",
    burn="Burn",
    injury="Injury",
    other="Another operation",
)
RESHAPED = ("reduction", "augmentation", "top_surgery")
FEELING = codes(usual="Usual", less="Less", none="None", more="More")
CUT = codes(
    around_areola="Around the areola",
    under_fold="Under the fold",
    armpit="Armpit",
    anchor="Around the areola and down",
    not_known="Not known",
)
BINDING = codes(no="No", before="In the past", now="Now")
MILK_BEGUN = codes(
    after_birth="After this birth",
    induced="Induced, without a birth",
    relactation="Begun again",
    none="Does not give own milk",
)
MILK_IN = codes(yes="Came in", not_yet="Not yet", not_noticed="Not noticed")
MILK_IN_FEEL = codes(soft="Soft", full="Full", tight="Hard and tight", warm="Warm")
LEAKING = codes(no="No", sometimes="Sometimes", often="Often")
LET_DOWN = codes(not_felt="Not felt", felt="Felt", painful="Painful")
FULLNESS = codes(soft="Soft", filling="Filling", firm="Firm", hard="Hard")
SOFTENING = codes(no="No", some="Somewhat", clear="Clearly")
PAIN_WHEN = codes(
    none="No pain", latch="At latch", through="All through the feed", after="After the feed", between="Between feeds"
)
PAIN_KIND = codes(
    sharp="Sharp", burning="Burning", pinching="Pinching", throbbing="Throbbing", deep="Deep", aching="Aching",
    itching="Itching",
)  # fmt: skip
UNWELL = codes(none="None of these", fever="Fever", chills="Chills", flu_feeling="Feels like flu")
CONTRACEPTION = codes(
    none="None", barrier="Barrier", copper_coil="Copper coil", hormone_coil="Hormone coil",
    progestin="Progestin only", oestrogen="With oestrogen", other="Another method",
)  # fmt: skip
PREGNANT = codes(no="No", yes="Yes", maybe="Maybe")
SUBSTANCES = codes(none="None", nicotine="Tobacco", vape="Vape", alcohol="Alcohol", cannabis="Cannabis", other="Other")
FOOD_SHORT = codes(no="No", sometimes="Sometimes", often="Often", declined="Rather not say")
SLEEP_PLACE = codes(
    own_same_room="Own bed, same room",
    own_other_room="Own bed, another room",
    bedside="Bedside cot",
    shared_bed="Shared bed",
    sofa="Sofa or armchair with an adult",
    sitting_device="Swing, seat or incline",
    other="Another place",
)
SLEEP_RISKS = codes(
    none="None of these",
    prone="On the tummy or side",
    soft="Soft surface or loose bedding",
    sofa="Sofa or armchair",
    incline="Tilted more than 10 degrees",
    smoke="Smoke about the baby",
)
WARNING_SIGNS = codes(
    none="None of these",
    headache="Worst headache ever, or one that stays",
    faint="Fainted or dizzy",
    vision="Vision changed",
    fever="38.0 °C or more",
    chest_pain="Chest pain",
    racing_heart="Racing heart",
    breathless="Cannot get enough breath",
    belly_pain="Severe belly pain",
    vomiting="Severe vomiting",
    swollen="Swollen hands or face",
    leg="Leg painful, red, hot or swollen",
    pad_soaked="A pad soaked in an hour",
    big_clots="Clots the size of an egg",
    bleeding="Heavy or foul bleeding",
    exhausted="Overwhelming tiredness",
    seizure="Seizure",
    wound="Wound not healing",
    confused="Confused, with fever",
    fast_breathing="Fast breathing, with fever",
    cold_limbs="Cold hands or feet, with fever",
    breast_red_hot="Breast or chest red and hot",
    breast_not_better="That, and no better in 24 hours",
    breast_pus="Pus from the breast or nipple",
    breast_mass="Lump staying longer than 72 hours",
)
MOOD_SIGNS = codes(
    none="None of these",
    harm_thoughts="Thoughts of harming self or baby",
    voices="Hears or sees what others do not",
    confusion="Confused or not like herself",
    high_sleepless="Not sleeping and very high",
)
ASKED = codes(alone="Asked alone", with_others="Asked with others near", not_possible="Could not be asked")
SCREEN = codes(epds="Ten-item postnatal mood scale", phq_2="Two-item mood screen", other="Another form")
HARM_NOW = codes(yes="Yes", no="No", not_answered="Not answered")
SAFE = codes(yes="Yes", no="No", unsure="Not sure", not_answered="Not answered")
PUMPS = codes(
    none="None", own_electric="Own, electric", wearable="Wearable", manual="By hand pump", hired="Hired",
    hand_expression="By hand",
)  # fmt: skip
PUMP_KINDS = ("own_electric", "wearable", "manual", "hired")
HELPERS = codes(none="None", shield="Nipple shield", supplementer="Tube at the breast or chest", shells="Shells")
