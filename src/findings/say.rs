use crate::quantity::{self, Compared, Dimension, Rounding, Units};

/// How numbers are spoken in findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Say {
    pub units: Units,
}

impl Say {
    pub fn length(&self, mm: f64) -> String {
        quantity::say_length(mm, self.units)
    }

    pub fn thickness(&self, mm: f64) -> String {
        quantity::say_thickness(mm, self.units)
    }

    /// Two values and by how much they differ, so that the three agree.
    pub fn compared(&self, first: f64, second: f64, dimension: Dimension) -> Compared {
        quantity::say_compared(first, second, dimension, self.units)
    }

    /// As it is written in a design, for mends.
    pub fn write(&self, mm: f64, rounding: Rounding) -> String {
        quantity::source_length(mm, self.units, rounding)
    }

    /// An angle as it is written in a design, to the tenth of a degree.
    pub fn write_angle(&self, degrees: f64, rounding: Rounding) -> String {
        quantity::source_angle(degrees, rounding)
    }

    pub fn size(&self, width: f64, height: f64) -> String {
        format!("{} by {}", self.length(width), self.length(height))
    }

    pub fn angle(&self, degrees: f64) -> String {
        quantity::say_angle(degrees)
    }

    pub fn mass(&self, grams: f64) -> String {
        quantity::say_mass(grams)
    }

    pub fn area(&self, mm2: f64) -> String {
        quantity::say_area(mm2, self.units)
    }

    pub fn value(&self, value: f64, dimension: Dimension) -> String {
        match dimension {
            Dimension::Number => quantity::say_number(value),
            Dimension::Length => self.length(value),
            Dimension::Area => self.area(value),
            Dimension::Angle => self.angle(value),
            Dimension::Grammage => format!("{} g/m²", quantity::say_number(value)),
            Dimension::Mass => self.mass(value),
        }
    }
}
