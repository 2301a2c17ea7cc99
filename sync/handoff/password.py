"""Makes the password of a locked paper: five plain words to be told by phone, drawn by the system's own randomness.

One of 1,024 words is worth ten bits, so five are worth 50. A password of a PDF can be tried without end by whoever has
the file: some two hundred times a second by an ordinary reader on one core (measured), perhaps a hundred thousand
times by one graphics card (a guess on the safe side). At that rate half of all passwords take one card 180 years and a
thousand cards two months. So it withstands whoever finds the file in a mailbox or on a lost stick, and nobody who puts
a large machine to work on one paper. Four words, 40 bits, would be gone in two months on one card.
"""

from __future__ import annotations

import secrets
from typing import Final

__all__ = ["BETWEEN", "BITS", "COUNT", "LONGEST", "WORDS", "new_password"]

COUNT: Final = 5
BETWEEN: Final = "-"
LONGEST: Final = 32
"""Characters of a password that every reader tried takes; one of them refuses a longer one."""

_LIST: Final = """
acorn act actor adopt adult agent agile agree alarm album alert alike alive allow alloy alone alpha also amber ample
angle ankle annex any apple apron arena argue arrow art aspen atlas atom attic avoid awake award aware away back badge
bagel baker bar barn basic basin basis bath baton beak beam beard begun below belt bench best bevel bib bike bill
bingo birch bird black blank blend blimp blink bloom boat body bog bond bonus book booth box boxer brace brain brave
brick brief brisk broad brook broth brown brush bud bugle bulb bulk bump bunch bunny busy buyer cabin cable cacao calf
calm camel camp can canal candy canoe cape card cargo carry cart carve case catch cedar cello chain chair chalk charm
chart chase chat cheer chef chess chew chime chin chip chop chunk churn cider cinch city civic civil claim clap class
clay clean clear clerk click cliff cloak clock cloth cloud clove clown club coach coast cobra cocoa cold comb comet
comic cone cook cool copy coral cost couch count cover craft crane crate crawl cream crest crib crisp crop cross crowd
crown crumb crust cube cup curb curl curry curve cycle dad daily dairy daisy dance dash data date dawn dean debut
decal deck decor deep delta den denim dense depth desk dial dig dime diner dish ditch diver dock donor door dose dot
dove down dozen draft drain drama draw dream dress drift drill drive drop drum dry dune dusk dust duty each eager
eagle early earth easel easy eat echo edge edit egg elbow elder elf elk elm else ember empty end enjoy enter entry
envoy equal erase essay event every exam exit extra fable face fact fade fall fancy farm fast feast feel fence fern
field fifth fifty fig film final finch fine firm first fish fit five flake flap flash flask flat flint flip float
flock floor fluff fluid flute foam focus foil folk fond food foot force fork forum fox frame free fresh fried frog
from front frost fruit fudge full fun funny fuse gable gain game gap gavel gear gem giant gift give glad glass gleam
glide glint globe gloss glove glow glue goal goat gold golf good goose gourd gown grab grace grade grain grand grant
grape graph grasp grass gravy green greet grid grip group grove grow guava guide gull gum guppy habit half halo handy
hang happy hard harp hatch have hawk hay hazel head heap heart hedge help hen herb hero hill hinge hint hippo hive
hobby holly home honey hoof hoop hope horn host hotel hound house hover how hub huge human humid hurry hush ice icing
icon igloo image inch index ink inlet inner input iris iron issue item ivory ivy jade jar jaw jazz jeep jelly jet
jewel job join joint joke jolly joy judge juice jumbo jump jury just keen kelp kept kind king kiosk kit kite kiwi
knife koala label lace ladle lamp lance land lapel large lark laser last late laugh layer leaf leap learn leash left
leg lemon lend level lever lid light like lilac lily limit linen lion lip list lobby local lodge loft logic long look
loop lotus loyal luck lucky lunar lunch lyric major make malt mambo mango many map maple mason match maybe meal melon
melt memo menu merit mesh mild mill mine mint mirth mixer model modem money month moon mop moss moth motor motto mount
mouse move movie much mulch mural music must myth nail name neat neck never news next nice noble noise noon north
novel now nudge oak oasis ocean offer often olive omega only onyx opal open opera orbit order other otter out outer
oval oven owl pack page paint palm panda panel paper park party pass pasta path peach pecan penny perch piano pick
pilot pin pink pipe pitch pizza plan plank plant play plaza plot pluck plug plume pod poem poet point polar polo pony
pool poppy porch port pose pouch pound power press price prime print prism probe proof proud puff pulp pulse pump
puppy pure push put quart queen query quest quick quiet quill quilt quit quiz quota radar radio rail rake rally ramp
ranch range rare raven ray react ready realm recap relax relay remit rent reply rich ride ridge rift rinse rise river
roast robe robin robot rock rodeo roof room roost rope round rover royal ruby rug rugby ruler rumba run rural rush
safe saga salad salon salsa salt sand satin sauna save scale scarf scoop scope score scout scrap scrub seal serve set
seven shade shake shape shark sharp shawl shed sheep shelf shell shift shine ship shirt shore shout show shrub shut
shy silk silly sing siren six sixty size skate ski skill skip skirt sky slab slate sled sleek sleep slice slide slope
small smart smile snack snail snake snap snow soap sock sofa soft soil solar solid solo solve song soon sound soup
south space spare spark speak speed spend spice spike spin spoon sport spot squad squid stack staff stage stamp stand
star start state stay steam stem stick still stir stock stone stool stop storm stove straw stray study sugar sunny
super swamp swan sweep swift swim swing syrup table taco tall tango tank tape task taste teach teddy tell tempo tenor
tent term text thank this thorn throw thumb tiara tidal tidy tie tiger tile tilt timer tiny title today token tonic
top topic torch total tough towel tower town track trade trail trait tram treat tree trend trick trim trio trip trot
trout trunk trust truth try tub tube tuck tulip tune tunic tutor twice twig twin twist uncle under unify union unit
unite until upper urban use user usher valid value valve van vase vault venue verb vest video view villa vine vinyl
visit visor vital vivid vocal voice volt vowel wafer wagon wake walk want warm wash watch water wavy web wedge well
west wheat while whisk white wide width wild wind wipe wire wish wolf wool word work worth yam yard yarn year yeast
yoga young youth zebra zero zesty zinc zone zoo zoom
"""
WORDS: Final = tuple(_LIST.split())
"""Common words of three to five letters that are hard to mistake for one another when they are read out."""

BITS: Final = COUNT * (len(WORDS).bit_length() - 1)


def new_password() -> str:
    """A password for one paper. It is kept nowhere here and goes into no log; 29 characters at most."""
    return BETWEEN.join(secrets.choice(WORDS) for _ in range(COUNT))
