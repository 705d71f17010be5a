//! The catalogue: one file per finding. Each file holds a plain struct of what was measured, its [`Entry`], and the
//! words it becomes. A new finding is one file and one line in the list below.

#[allow(unused_imports)]
use super::{Entry, Family, Fault, Say, Severity, Stated, Telling};
#[allow(unused_imports)]
use crate::quantity::{Dimension, Rounding, Units};
use crate::source::Span;

macro_rules! catalogue {
    ($($file:ident :: $fault:ident,)*) => {
        $(mod $file; pub use $file::$fault;)*
        /// Every finding there is, by name.
        pub static ENTRIES: &[&Entry] = &[$(&$file::ENTRY,)*];
    };
}

catalogue! {
    arc_without_circle::ArcWithoutCircle,
    argument_count::ArgumentCount,
    argument_twice::ArgumentTwice,
    argument_unknown::ArgumentUnknown,
    blank_to_fill::BlankToFill,
    claim_not_yes_no::ClaimNotYesNo,
    clause_not_here::ClauseNotHere,
    closing_place_unknown::ClosingPlaceUnknown,
    cut_parts_panel::CutPartsPanel,
    cutout_outside_panel::CutoutOutsidePanel,
    divide_by_zero::DivideByZero,
    edges_not_parallel::EdgesNotParallel,
    faces_do_not_meet::FacesDoNotMeet,
    file_not_read::FileNotRead,
    hole_sizes_differ::HoleSizesDiffer,
    include_outside::IncludeOutside,
    include_ring::IncludeRing,
    length_without_unit::LengthWithoutUnit,
    loose_part::LoosePart,
    mat_border_too_wide::MatBorderTooWide,
    measure_missing::MeasureMissing,
    measure_outside_claim::MeasureOutsideClaim,
    mechanism_in_itself::MechanismInItself,
    misplaced_statement::MisplacedStatement,
    name_taken::NameTaken,
    no_plain_extent::NoPlainExtent,
    no_such_member::NoSuchMember,
    no_such_stop::NoSuchStop,
    not_a_side::NotASide,
    not_positive::NotPositive,
    not_stated::NotStated,
    nothing_to_move::NothingToMove,
    number_too_large::NumberTooLarge,
    outline_crosses_itself::OutlineCrossesItself,
    outline_open::OutlineOpen,
    outline_without_area::OutlineWithoutArea,
    panel_count::PanelCount,
    panel_named_twice::PanelNamedTwice,
    panel_not_said::PanelNotSaid,
    panel_point_outside::PanelPointOutside,
    paper_does_not_say::PaperDoesNotSay,
    piece_too_large::PieceTooLarge,
    piece_without_size::PieceWithoutSize,
    placement_misses_direction::PlacementMissesDirection,
    placement_said_twice::PlacementSaidTwice,
    pounds_without_grade::PoundsWithoutGrade,
    range_reversed::RangeReversed,
    reads_from_no_line::ReadsFromNoLine,
    repeat_name_without_index::RepeatNameWithoutIndex,
    repeat_too_long::RepeatTooLong,
    ring_of_names::RingOfNames,
    said_twice::SaidTwice,
    score_has_no_place::ScoreHasNoPlace,
    score_off_piece::ScoreOffPiece,
    score_parts_nothing::ScorePartsNothing,
    setting_kind::SettingKind,
    setting_out_of_reach::SettingOutOfReach,
    slot_meets_score::SlotMeetsScore,
    slot_of_another_piece::SlotOfAnotherPiece,
    strap_overlap_too_long::StrapOverlapTooLong,
    strap_rails_not_parallel::StrapRailsNotParallel,
    strap_too_wide::StrapTooWide,
    stuck_to_itself::StuckToItself,
    svg_outline::SvgOutline,
    svg_without_size::SvgWithoutSize,
    tab_off_no_edge::TabOffNoEdge,
    tab_too_deep::TabTooDeep,
    tabs_overlap::TabsOverlap,
    tongue_wider_than_slot::TongueWiderThanSlot,
    too_deep::TooDeep,
    turn_said_twice::TurnSaidTwice,
    unknown_colour::UnknownColour,
    unknown_envelope::UnknownEnvelope,
    unknown_function::UnknownFunction,
    unknown_grain::UnknownGrain,
    unknown_name::UnknownName,
    unknown_post::UnknownPost,
    unknown_sheet::UnknownSheet,
    unknown_unit::UnknownUnit,
    unlike_kinds::UnlikeKinds,
    unreadable_line::UnreadableLine,
    value_out_of_range::ValueOutOfRange,
    workspace_full::WorkspaceFull,
    wrong_arguments::WrongArguments,
    wrong_kind::WrongKind,
}

/// The entry of a name.
pub fn entry(name: &str) -> Option<&'static Entry> {
    ENTRIES.iter().copied().find(|e| e.name == name)
}
