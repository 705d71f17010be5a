//! Every word of the guide that does not come from the making order or the sheet plan. Another language is another
//! [`Catalogue`]; `{}` stands for what is filled in, in the order in which the comment beside it says.

/// The words of a guide.
pub struct Catalogue {
    /// A language tag (BCP 47).
    pub language: &'static str,
    /// Title of the card.
    pub how_to_make: &'static str,
    pub measures: &'static str,
    pub inches: &'static str,
    pub millimetres: &'static str,
    pub contents: &'static str,

    pub card: &'static str,
    pub sizes: &'static str,
    pub pose: &'static str,
    pub width_and_height: &'static str,
    pub depth: &'static str,
    pub thickness: &'static str,
    pub not_flat: &'static str,
    /// Mass.
    pub weighs: &'static str,
    /// Pose.
    pub picture_of_pose: &'static str,
    /// Title of the card, pose.
    pub what_pose_shows: &'static str,

    pub need: &'static str,
    pub papers: &'static str,
    pub paper: &'static str,
    pub weight: &'static str,
    pub caliper: &'static str,
    pub sheets: &'static str,
    pub unknown: &'static str,
    /// Added to a thickness that is an estimate.
    pub estimated: &'static str,
    pub tools: &'static str,
    pub knife: &'static str,
    pub ruler: &'static str,
    pub scoring: &'static str,
    pub pencil: &'static str,
    pub glue: &'static str,
    /// Height.
    pub foam: &'static str,
    /// How many.
    pub brads: &'static str,
    pub punch: &'static str,
    /// Price.
    pub cost: &'static str,

    pub cautions: &'static str,
    pub caution_blade: &'static str,
    pub caution_glue: &'static str,
    pub caution_pins: &'static str,
    pub caution_rules: &'static str,

    pub moves: &'static str,
    pub moves_intro: &'static str,
    /// Motion.
    pub motion: &'static str,
    /// Motion, number of places.
    pub motion_text: &'static str,
    /// Motion.
    pub motion_slider: &'static str,

    pub cut_list: &'static str,
    pub cut_list_intro: &'static str,
    pub letter: &'static str,
    pub piece: &'static str,
    pub count: &'static str,
    pub cut_size: &'static str,
    pub shaped: &'static str,
    pub scores_and_openings: &'static str,
    pub to_measure: &'static str,

    pub sheet_plan: &'static str,
    pub sheet_plan_intro: &'static str,
    pub no_sheet: &'static str,
    /// Sheet, paper.
    pub sheet: &'static str,
    /// Sheet, paper.
    pub sheet_text: &'static str,

    pub steps: &'static str,
    pub steps_intro: &'static str,
    pub exploded: &'static str,
    pub exploded_text: &'static str,
    /// Number, heading.
    pub step: &'static str,
    /// Number.
    pub step_picture: &'static str,
    /// Number.
    pub ready: &'static str,

    pub seen: &'static str,
    pub seen_intro: &'static str,
    pub part: &'static str,
    /// Pose.
    pub in_pose: &'static str,
    pub hidden: &'static str,
    /// Per cent.
    pub partly: &'static str,
    pub wholly: &'static str,
    pub upside_down: &'static str,
    /// What is printed.
    pub lettering: &'static str,
    pub picture_part: &'static str,

    pub post: &'static str,
    pub closed: &'static str,
    pub closed_thickness: &'static str,
    pub envelope: &'static str,
    pub envelope_room: &'static str,
    pub postage: &'static str,
    pub postage_mass: &'static str,
    /// Date.
    pub postage_date: &'static str,
    pub postage_kept: &'static str,

    pub variants: &'static str,
    pub variants_intro: &'static str,
    pub variant: &'static str,
    /// The card that the rest of the guide describes.
    pub variant_here: &'static str,
    pub variant_envelope: &'static str,
    pub variant_unsound: &'static str,

    pub check_scale: &'static str,
    /// File.
    pub nets_in: &'static str,
}

/// English, complete.
pub const ENGLISH: Catalogue = Catalogue {
    language: "en",
    how_to_make: "{}: how to make it",
    measures: "Measures",
    inches: "inches",
    millimetres: "millimetres",
    contents: "On this page",

    card: "The card",
    sizes: "Finished sizes",
    pose: "pose",
    width_and_height: "width × height",
    depth: "depth",
    thickness: "thickest place",
    not_flat: "does not lie flat",
    weighs: "It weighs {} without glue and envelope.",
    picture_of_pose: "The card: {}",
    what_pose_shows: "Three-quarter view of “{}” in the pose {}, papers in their colours.",

    need: "What you need",
    papers: "Papers",
    paper: "paper",
    weight: "weight",
    caliper: "thickness",
    sheets: "sheets",
    unknown: "not stated",
    estimated: " (estimated)",
    tools: "Tools and supplies",
    knife: "a sharp craft knife and a cutting mat, or a trimmer",
    ruler: "a steel ruler",
    scoring: "a bone folder or a scoring tool",
    pencil: "a soft pencil",
    glue: "paper glue or thin double-sided tape",
    foam: "foam pads, ",
    brads: "{}, with heads wider than their holes",
    punch: "a hole punch",
    cost: "Paper for one card costs {}.",

    cautions: "Take care",
    caution_blade: "Blades are sharp: cut away from your fingers along a steel ruler, change a blunt blade, put the knife \
                    down closed. Cutting is for adults, or for children with an adult beside them.",
    caution_glue: "Read what the maker of the glue says. Hot glue burns the skin: use a cold glue with children.",
    caution_pins: "Brads have sharp legs and are small enough to be swallowed: keep them, and a card that has them, from \
                   children under three.",
    caution_rules: "Where your school, your library or your country has rules for tools and small parts, those come first.",

    moves: "How it moves",
    moves_intro: "Drag the slider to move the card; every place is worked out, not drawn by hand.",
    motion: "Motion: {}",
    motion_text: "The card along its motion {}, in {} places from its beginning to its end.",
    motion_slider: "How far along the motion {}",

    cut_list: "Cut list",
    cut_list_intro: "Width by height, printed side up. Use inches or millimetres, not a mixture: each list is rounded and \
                     checked on its own.",
    letter: "letter",
    piece: "piece",
    count: "pieces",
    cut_size: "cut size",
    shaped: "shaped: cut it from the net",
    scores_and_openings: "Scores and openings",
    to_measure: "to measure",

    sheet_plan: "Sheet plan",
    sheet_plan_intro: "Cuts go from edge to edge of the part in hand. A setting is read from the left or the upper edge, as \
                       the part lies on the drawing.",
    no_sheet: "The design gives no sheet size for this paper.",
    sheet: "Sheet {} of {}",
    sheet_text: "Sheet {} of {} with its pieces lettered and its cuts numbered in their order.",

    steps: "Step by step",
    steps_intro: "What is there already is grey, what is new is white with a strong edge, glue is hatched. Folded pieces are \
                  drawn flat.",
    exploded: "What lies over what",
    exploded_text: "The flat card with its layers drawn apart, each piece with its letter of the cut list.",
    step: "Step {}: {}",
    step_picture: "Drawing of step {}",
    ready: "The finished card",

    seen: "What shows when",
    seen_intro: "How much of it a viewer straight before the card sees.",
    part: "part",
    in_pose: "{}",
    hidden: "hidden",
    partly: "{} %",
    wholly: "all of it",
    upside_down: ", upside down",
    lettering: "“{}”",
    picture_part: "{} on {}",

    post: "Envelope and post",
    closed: "Closed the card measures ",
    closed_thickness: " and is as thick as ",
    envelope: "The envelope measures inside ",
    envelope_room: "; with the thickness counted in, that leaves ",
    postage: "For the post, as {}: ",
    postage_mass: ", {} with its envelope",
    postage_date: "Limits {}.",
    postage_kept: " It keeps every limit of this class.",

    variants: "Other sizes",
    variants_intro: "The same card in the other sizes that its design holds. Each has a kit of its own: give its name with the \
        option --variant.",
    variant: "Variant",
    variant_here: "as in this guide",
    variant_envelope: "Envelope",
    variant_unsound: "does not work yet",

    check_scale: "Print at 100 %. Then lay a ruler on the test bars: if the bar of 100 mm measures anything else, set the \
                  scale anew before you cut.",
    nets_in: "At true scale: {} to work from, {} to print on the papers themselves and cut out, {} to draw round.",
};

/// Fills the gaps of a text, in their order.
pub fn fill(text: &str, with: &[&str]) -> String {
    let mut out = String::with_capacity(text.len());
    let mut with = with.iter();
    let mut parts = text.split("{}");
    if let Some(first) = parts.next() {
        out.push_str(first);
    }
    for part in parts {
        out.push_str(with.next().copied().unwrap_or_default());
        out.push_str(part);
    }
    out
}
