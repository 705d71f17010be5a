//! Rigid panels in space: positions, closing loops, stops, contact, free motions, standing.
//!
//! Everything here works on plain data of its own (bodies, joints, numbers): it knows neither the language
//! nor the wording of findings. Lengths are millimetres, angles degrees, grammage g/m², mass grams, time
//! seconds; the flat frame of a body has its front towards +z.

pub mod allowance;
mod assemble;
mod balance;
mod branch;
mod closure;
mod contact;
mod distance;
mod graph;
mod iso;
mod kept;
mod linkage;
mod matrix;
mod mobility;
mod pictures;
mod pose;
mod sheet;
pub mod slide;
mod stand;
mod track;
mod travel;

pub use balance::{Plate, Rest, Stance, TippingEdge, rest, stance};
pub use contact::{Clash, ContactReport, PATH_FACTOR, Pairs};
pub use iso::{Iso, Point2, Point3, Vec3};
pub use kept::Kept;
pub use linkage::{Body, BodyId, JointId, JointKind, Link, Linkage, LinkageFault, Panel, Range};
pub use mobility::{Freedom, LeftOver, gruebler_planar, gruebler_spatial, gruebler_spherical};
pub use pictures::{join_pictures, tilt_deg};
pub use pose::{FaultKind, Misfit, Pose, PoseFault, State};
pub use sheet::{Crease, Fold, Sheet, SheetFault, Star};
pub use stand::{
    Beyond, Extent, Lowered, PoseState, StandFault, lower, lower_keeping, seat, stand, stand_lowered,
};
pub use track::Stop;
pub use travel::{Travel, TravelEnd};
