//! A design of 1,000 lines and 50 pieces besides straps: a page that opens, with houses on both halves, in each house a
//! cat on a strap, and a bridge that stands across the spine.

use std::fmt::Write;

/// Houses; each brings a cat. With the page and the bridge they are 50 pieces.
pub const HOUSES: usize = 24;
const COLUMNS: usize = 4;

/// The text, with the cat of one house wider by so many hundredths of a millimetre.
pub fn text(edited: usize, step: usize) -> String {
    let mut text = String::from(HEAD);
    for house in 0..HOUSES {
        let wider = if house == edited { step as f64 / 100.0 } else { 0.0 };
        write_house(&mut text, house, wider);
    }
    write_poses(&mut text);
    text
}

const HEAD: &str = r#"# A town on two half pages: in every window a cat that climbs.
card "Town of cats"
envelope 215mm by 302mm
grid 0.5mm

paper street: 250gsm, 0.32mm thick, sheet A3, grain short, colour "charcoal"
paper brick: 200gsm, 0.25mm thick, sheet A4, grain long, colour "coral"
paper fur: 160gsm, 0.20mm thick, sheet A4, colour "grey"
paper plain: 120gsm, 0.15mm thick, sheet A4, colour "white"

piece page of street {
  size 420mm by 297mm
  valley spine: 210mm from left
  panels west, east from left
}

piece bridge of street {
  size 64mm by 12mm
  valley west_pier: 6mm from left
  mountain crown: 32mm from left
  valley east_pier: 58mm from left
  panels west_foot, west_ramp, east_ramp, east_foot from left
}
glue back of bridge.west_foot to front of page.west: west_pier 14mm left of spine, 87mm from top
glue back of bridge.east_foot to front of page.east: east_pier 14mm right of spine, 87mm from top

print title "Town of cats" on back of page.west: centred, 100mm from top
"#;

fn write_house(text: &mut String, house: usize, wider: f64) {
    let half = if house < HOUSES / 2 { "west" } else { "east" };
    let cell = house % (HOUSES / 2);
    let (column, row) = (cell % COLUMNS, cell / COLUMNS);
    let (x, y) = (4 + 46 * column, 6 + 96 * row);
    let _ = write!(
        text,
        r#"
# House {house}
let h{house}_wide = 38mm
let h{house}_eaves = 8mm
let h{house}_span = 22mm
let h{house}_climb = {climb}mm
piece house_{house} of brick {{
  size h{house}_wide by 78mm
  slot rail_l: 2mm wide, (h{house}_wide - h{house}_span) / 2 from left, 26mm to 32mm + h{house}_climb from top
  slot rail_r: 2mm wide, (h{house}_wide - h{house}_span) / 2 from right, 26mm to 32mm + h{house}_climb from top
  window attic: circle 4mm, centred, centre h{house}_eaves from top
  window pane_l: rectangle 4mm by 5mm, 5mm from left, 14mm from top
  window pane_r: rectangle 4mm by 5mm, 5mm from right, 14mm from top
  window door: rectangle 8mm by 11mm, centred across, 5mm from bottom
  mark bell: 30mm from left, 66mm from top
}}
glue back of house_{house} to front of page.{half}: {x}mm from left, {y}mm from top, along top and bottom 6mm

strap rope_{house} of plain around house_{house} between rail_l, rail_r: 6mm wide, 8mm overlap

piece cat_{house} of fur {{
  shape path (0mm, 24mm)
    line to (0mm, 6mm)
    line to (3mm, 0mm)
    line to (6mm, 5mm)
    line to ({ear:.2}mm, 5mm)
    line to ({tip:.2}mm, 0mm)
    line to ({wide:.2}mm, 6mm)
    line to ({wide:.2}mm, 24mm)
    line to (0mm, 24mm)
  window eye_l: circle 2mm, centre 5mm from left, centre 9mm from top
  window eye_r: circle 2mm, centre 5mm from right, centre 9mm from top
}}
glue back of cat_{house} to front of rope_{house}: bottom to bottom, centred
print name_{house} "Tom" on cat_{house}: 12mm from top, centred, 3mm high
expect travel(rope_{house}) = h{house}_climb
"#,
        climb = 12 + house % 7,
        ear = 10.0 + wider,
        tip = 13.0 + wider,
        wide = 16.0 + wider,
    );
}

fn write_poses(text: &mut String) {
    for (pose, spine, end) in [("shut", 180, "bottom"), ("flat", 0, "bottom"), ("fed", 0, "top")] {
        let _ = writeln!(text, "\npose {pose} {{\n  page.spine {spine}deg");
        for house in 0..HOUSES {
            let _ = writeln!(text, "  rope_{house} at {end}");
        }
        let _ = writeln!(text, "}}");
    }
    text.push_str(TAIL);
}

const TAIL: &str = r#"
motion turn { page.spine 180deg to 0deg }
motion climb { rope_0 bottom to top }

expect fits(shut, envelope)
expect folds_flat(shut)
expect moves(turn)
expect moves(climb)
expect captive(cat_0, climb)
expect width(shut) = page.width / 2
expect hidden(name_0, shut)
expect depth(flat) > 20mm
expect rise(cat_0) > 0mm
expect mass() <= 120g
"#;
