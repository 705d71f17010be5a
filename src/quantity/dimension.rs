/// What kind of quantity a value is. Base units: mm, mm², degrees, plain, g/m², g.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    Number,
    Length,
    Area,
    Angle,
    Grammage,
    Mass,
}

impl Dimension {
    /// The dimension of a product, if it is one the language has.
    pub fn times(self, other: Self) -> Option<Self> {
        use Dimension::*;
        match (self, other) {
            (Number, d) | (d, Number) => Some(d),
            (Length, Length) => Some(Area),
            (Grammage, Area) | (Area, Grammage) => Some(Mass),
            _ => None,
        }
    }

    /// The dimension of a quotient, if it is one the language has.
    pub fn over(self, other: Self) -> Option<Self> {
        use Dimension::*;
        match (self, other) {
            (d, Number) => Some(d),
            (a, b) if a == b => Some(Number),
            (Area, Length) => Some(Length),
            (Mass, Area) => Some(Grammage),
            (Mass, Grammage) => Some(Area),
            _ => None,
        }
    }

    /// How the dimension is spoken of: "a length".
    pub fn spoken(self) -> &'static str {
        match self {
            Self::Number => "a plain number",
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Angle => "an angle",
            Self::Grammage => "a paper weight",
            Self::Mass => "a mass",
        }
    }

    /// Its base unit, as reports write it.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Number => "1",
            Self::Length => "mm",
            Self::Area => "mm2",
            Self::Angle => "degrees",
            Self::Grammage => "g/m2",
            Self::Mass => "g",
        }
    }
}
