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
    argument_count::ArgumentCount,
    argument_twice::ArgumentTwice,
    argument_unknown::ArgumentUnknown,
    blank_to_fill::BlankToFill,
    claim_not_yes_no::ClaimNotYesNo,
    clause_not_here::ClauseNotHere,
    divide_by_zero::DivideByZero,
    file_not_read::FileNotRead,
    include_outside::IncludeOutside,
    include_ring::IncludeRing,
    length_without_unit::LengthWithoutUnit,
    measure_missing::MeasureMissing,
    measure_outside_claim::MeasureOutsideClaim,
    mechanism_in_itself::MechanismInItself,
    misplaced_statement::MisplacedStatement,
    name_taken::NameTaken,
    no_plain_extent::NoPlainExtent,
    no_such_member::NoSuchMember,
    not_a_side::NotASide,
    not_positive::NotPositive,
    not_stated::NotStated,
    nothing_to_move::NothingToMove,
    number_too_large::NumberTooLarge,
    paper_does_not_say::PaperDoesNotSay,
    piece_without_size::PieceWithoutSize,
    pounds_without_grade::PoundsWithoutGrade,
    range_reversed::RangeReversed,
    repeat_name_without_index::RepeatNameWithoutIndex,
    repeat_too_long::RepeatTooLong,
    ring_of_names::RingOfNames,
    said_twice::SaidTwice,
    setting_kind::SettingKind,
    slot_of_another_piece::SlotOfAnotherPiece,
    stuck_to_itself::StuckToItself,
    too_deep::TooDeep,
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
