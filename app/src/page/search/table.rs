//! What can be searched for: every panel, field and button of the page by its own name, and by what else makers call it.
//!
//! One line each: the name as the page shows it, then after a bar other words for it, then after a second bar what to go to
//! while the first is not there. `tests/browser_guide.rs` looks every name of the page up.

use crate::panels::PanelKey;

/// What must be so before a name of a panel is in the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Needs {
    /// Nothing.
    Nothing,
    /// The form of a mold lies open.
    Form,
    /// A mold on the board is selected.
    Selection,
}

/// What each panel is called besides its own name.
pub(super) const fn other_words(panel: PanelKey) -> &'static str {
    match panel {
        PanelKey::Molds => "forms tools parts bucks shapes list",
        PanelKey::Place => "position coordinates numbers exact layout pulls where",
        PanelKey::Arrange => "automatic nest pack lay out fit fill spread tidy solve",
        PanelKey::Batch => "kits many order quantity production how often pulls",
        PanelKey::Forecast => "thickness drape simulate webs thin wall predict",
        PanelKey::Machine => "former frame blank clamp platen stock sheet plastic material",
        PanelKey::Cut => "sheets blanks saw score snap offcuts yield waste",
        PanelKey::Heat => "oven heater temperature time warm cool drying",
        PanelKey::Settings => "rules clearance units inches millimetres theme defaults options",
        PanelKey::Print => "template paper pdf svg dxf bench card cut list",
        PanelKey::Bench => "timer log pulls stopwatch record",
        PanelKey::Share => "link qr code send colleague",
        PanelKey::Plans => "files open save new delete shelf",
    }
}

/// The names that stand in the panels.
pub(super) const NAMES: &[(PanelKey, Needs, &str)] = &[
    (PanelKey::Molds, Needs::Nothing, MOLDS),
    (PanelKey::Molds, Needs::Form, MOLD_FORM),
    (PanelKey::Place, Needs::Nothing, PLACE),
    (PanelKey::Place, Needs::Selection, PLACE_SELECTED),
    (PanelKey::Arrange, Needs::Nothing, ARRANGE),
    (PanelKey::Batch, Needs::Nothing, BATCH),
    (PanelKey::Forecast, Needs::Nothing, FORECAST),
    (PanelKey::Machine, Needs::Nothing, MACHINE),
    (PanelKey::Cut, Needs::Nothing, CUT),
    (PanelKey::Heat, Needs::Nothing, HEAT),
    (PanelKey::Settings, Needs::Nothing, SETTINGS),
    (PanelKey::Print, Needs::Nothing, PRINT),
    (PanelKey::Bench, Needs::Nothing, BENCH),
    (PanelKey::Share, Needs::Nothing, SHARE),
    (PanelKey::Plans, Needs::Nothing, PLANS),
];

/// What stands round the board.
pub(super) const BOARD: &str = "\
Thickness|map colour wall forecast
Read a place|probe measure thickness value here
";

/// What stands at the head of the page.
pub(super) const HEAD: &str = "\
Plan|name title rename
Pull|layout switch which
";

const MOLDS: &str = "\
Add a mold|new create block form
Add molds from a file|import svg dxf stl obj 3mf mesh drawing
Trace a photo|photograph picture camera outline
Add to blank|place stand put on
Change|edit mold form
Keep on the shelf|store library remember
Mold shelf|library kept
Put into this plan|shelf library|Mold shelf
Import molds|shelf file
Export the shelf|save library file
";

const MOLD_FORM: &str = "\
Name|rename mold title
Footprint|outline shape circle ellipse rectangle polygon
Width, left to right|across size
Depth, front to back|deep size
Diameter|round circle size
Corner radius|rounded
Sides|polygon
Male or female|cavity drape over into kind
Height|tall depth of cavity
Spacer|riser raise block under
Relief|dome taper flat top steps shape
Draft|slope angle walls release
Edge radius|rounded top fillet
Scale of the top|taper cone
Add a step|stepped ledge
Turns that Arrange may give it|rotate rotation orientation
Copies that exist|how many quantity
Trim allowance|flange waste cut line
Duplicate|copy mold again
Remove|delete mold
Done|close form
";

const PLACE: &str = "\
On this blank|list placements standing
Select all|choose everything
Select none|choose nothing
Name of this pull|rename layout
Sheet of this pull|plastic colour gauge stock|Name of this pull
Add an empty pull|new layout second
Remove this pull|delete layout
";

const PLACE_SELECTED: &str = "\
From the left edge|x position coordinate
From the front edge|y position coordinate
Turn|rotate angle degrees
Turn each to|rotate angle degrees
Copy|which number
Equal gaps across|spread distribute
Equal gaps in depth|spread distribute
Left|align line up
Middle|align line up centre
Right|align line up
Back|align line up
Centre|align line up middle
Front|align line up
Line up with the opening|align
Line them up|align|Line up with the opening
Middle of the opening|centre center
Duplicate|copy another
Take off the blank|remove delete
Locked: nothing moves it|lock pin fix hold
";

const ARRANGE: &str = "\
What for|intent goal
Which molds, and how many of each|set choose count
Fit this set|pack all
Fit as many as possible|fill pack most
Spread them out|space apart even
Tidy this layout|fix gaps clean
Some are worth more than others|value priority
What matters|preferences
Tall molds in the middle of the heat|hot spot
Long walls parallel to the frame|straight
Long faces turned away from each other|webs
How long to try|time effort
Take this layout|accept keep|What for
Show the layout before|compare|What for
Put it away|discard reject|What for
Stop and keep the best|cancel search|What for
";

const BATCH: &str = "\
Kits|how many sets order
Spares, percent|extra scrap reject
How many of each part in a kit|per kit quantity
Add another sheet: plastic, gauge or colour|second material
Time of a pull, and what an hour costs|labour labor wage
Load, seconds|clamp time
Heat, seconds|oven time
Draw, seconds|vacuum time
Cool, seconds|fan time
Unload, seconds|take out time
Change of layout, seconds|set up time
An hour at the bench|labour labor wage cost price
Plan the batch|reckon compute layouts
Put these layouts in the plan|take accept|Plan the batch
Keep this order with the plan|take accept turns|Plan the batch
Cut the blanks for this batch|sheets stock buy|Plan the batch
Save as a table (CSV)|spreadsheet export cost|Plan the batch
Colour|color sheet|Add another sheet: plastic, gauge or colour
Remove this sheet|delete material|Add another sheet: plastic, gauge or colour
";

const FORECAST: &str = "\
Runs by itself|automatic
Forecast now|compute simulate start
Stop|cancel forecast|Runs by itself
Least wall wanted|thinnest minimum thickness
Take this gauge|thicker sheet suggest|Least wall wanted
Try what helps|advice fix improve finding web thin corner|What it warns of
Try changes|advice improve suggest
Take this change|accept advice|Try changes
What it warns of|webs thin corners
Each mold|thinnest wall
A line over the board to cut along|section slice profile
Left to right|section line|A line over the board to cut along
Front to back|section line|A line over the board to cut along
The formed sheet|3d three dimensions view
As at first|3d view reset|The formed sheet
From above|3d view top|The formed sheet
Larger|3d zoom|The formed sheet
Smaller|3d zoom|The formed sheet
How it is computed|method
The hot sheet is taken for|rubber model
Rubber|model stretch
Equally thick|model textbook
How the sheet lands|contact friction stick slip
Sticks|land contact friction
Slides|land contact friction slip
Sag before forming|hang droop bowl hot sheet
Net of the sheet|mesh resolution fine coarse
What it does not know|limits accuracy trust
";

const MACHINE: &str = "\
Blank width|size frame
Blank depth|size frame
A clamp lip for each side|different
Clamp lip|bite frame covers edge
Front clamp lip|bite frame|A clamp lip for each side
Back clamp lip|bite frame|A clamp lip for each side
Left clamp lip|bite frame|A clamp lip for each side
Right clamp lip|bite frame|A clamp lip for each side
A platen of another size than the opening|bed vacuum table
Platen width|bed|A platen of another size than the opening
Platen depth|bed|A platen of another size than the opening
Its left edge|platen bed|A platen of another size than the opening
Its front edge|platen bed|A platen of another size than the opening
Middle of the opening|platen centre|A platen of another size than the opening
Tallest mold it clears|height limit travel daylight
Stock sheet|material
Plastic|material hips abs petg acrylic polycarbonate pvc
Gauge|thickness sheet mil
Common gauges for it (from memory)|thickness
Whole sheet|size 4 x 8
Sheet width|size
Sheet depth|size
Texture|grain haircell face
Protective film|masking peel
Price of a whole sheet|cost money
";

const CUT: &str = "\
Change them|sheet blank size
Sheets are parted by|cut way
Score and snap|knife
Saw|kerf blade
Blanks wanted|how many count
Further blanks|other sizes several nest
Kerf of the saw|blade width|Saw
Narrowest strip that snaps|minimum offcut|Score and snap
A cut may stray by|wander tolerance
Blanks may lie either way (no grain to keep to)|turn rotate direction
Offcuts|scrap remnants leftovers
Offcut width|scrap size
Offcut depth|scrap size
Add the offcut|scrap leftover
I have cut it: keep what is left|offcuts done
Which blank size wastes least?|yield map frame size
Sides from|yield map smallest
Sides to|yield map largest
By|yield map step
Look|yield map compute
Print the cut list|pdf steps
";

const HEAT: &str = "\
The heater reaches|sides
One side|heater
Both sides|heater sandwich
A side takes up, at least|watts power flux
At most|watts power flux
";

const SETTINGS: &str = "\
Lengths are shown in|units inches millimetres fractions metric
Light or dark|theme night colours
Clearance, times the height|gap spacing distance factor between molds
Height it is taken from|clearance taller mean basis
Least gap between molds|clearance spacing minimum distance
Margin to the clamp, times the height|edge distance factor
Least margin to the clamp|edge distance minimum
Height to width, male|draw ratio limit
Depth to width, female|draw ratio limit cavity
Least wall wanted|thinnest minimum thickness
Back to the defaults|reset rules
What else the rules rest on|sources draft thin sheet
";

const PRINT: &str = "\
Paper|a4 letter size
Overlap of the sheets|tiles tape
Margin of the printer|white edge
Locating corners to cut out|jig register stops
Printer|correct scale
Add a printer|calibrate correct scale bar
Keep this printer|calibrate|Add a printer
Name of the printer|calibrate|Add a printer
Remove this printer|delete|Printer
Download PDF|template full size
One large page (PDF)|roll copy shop plotter
Download SVG|template vector
For machines|router laser cutter
What a cutter cuts|vinyl stencil
Download DXF|cad router laser
Download cutter SVG|vinyl stencil
Bench card|sheet wall heat order
Download bench card|pdf wall heat order
Print the link of this pull on it|qr code card
Cut list|sheets steps
Download cut list|pdf sheets steps
";

const BENCH: &str = "\
Heater on both sides of the sheet|sandwich
A tone when it is time to watch, three at the limit|sound beep alarm
Start heating|timer begin stopwatch
Drawn|timer vacuum
Cooled|timer
Log a pull without the timer|record note
Throw this pull away|discard cancel|Start heating
How it came out|result outcome|Log a pull without the timer
Seconds to forming|time|Log a pull without the timer
Seconds to cool|time|Log a pull without the timer
Sag when it was drawn|droop|Log a pull without the timer
Notes|remarks|Log a pull without the timer
Add a photo|picture|Log a pull without the timer
Log this pull|save record|Log a pull without the timer
Pulls logged|history records
Export the log|save file
Import pulls|open file log
What your pulls say|learned statistics suggest
";

const SHARE: &str = "\
Make the link|url address qr code send
Copy the link|clipboard|Make the link
Link|url address|Make the link
Save as a file|export|Make the link
";

const PLANS: &str = "\
Plans in this browser|list shelf
Open|load plan
Rename|name plan
Duplicate|copy plan
Delete|remove plan
Bring it back|undo delete|Plans in this browser
Save this plan as a file|export download backup json
Open a file|import load json
New plan|start blank
Blank width, left to right|new plan size
Blank depth, front to back|new plan size
Clamp lip|new plan frame
Start a new plan|create empty
";
