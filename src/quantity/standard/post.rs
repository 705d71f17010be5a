use super::table::{Row, rows};
use crate::quantity::Exact;
use std::sync::LazyLock;

/// What a post does with a letter whose sides are in another ratio than it asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutsideRatio {
    /// Carried, sorted by hand and charged for it.
    Surcharge,
    /// Not taken in this class.
    Refuse,
}

/// The limits of one class of one post. Lengths in mm, mass in g; what is `None` has no limit in the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Post {
    /// `royal_mail`
    pub post: &'static str,
    /// `large_letter`
    pub class: &'static str,
    /// As it is spoken of: "Royal Mail large letter".
    pub title: &'static str,
    pub min_long: Option<Exact>,
    pub min_short: Option<Exact>,
    pub min_thick: Option<Exact>,
    pub max_long: Option<Exact>,
    pub max_short: Option<Exact>,
    pub max_thick: Option<Exact>,
    /// Length, width and thickness together.
    pub max_sum: Option<Exact>,
    pub min_mass: Option<Exact>,
    pub max_mass: Option<Exact>,
    /// Long side over short side.
    pub min_ratio: Option<Exact>,
    pub max_ratio: Option<Exact>,
    pub outside_ratio: OutsideRatio,
    /// When longer or higher than this, the least thickness is another: long, short, thickness.
    pub large: Option<(Exact, Exact, Exact)>,
    /// How much thicker it may be at one place than at another.
    pub max_uneven: Option<Exact>,
    /// What the post allows on every size.
    pub tolerance: Exact,
    /// How old the limits are: "as of 2026-11", the date of their table or the month it was read.
    pub as_of: &'static str,
    pub source: &'static str,
}

static POSTS: LazyLock<Vec<Post>> =
    LazyLock::new(|| rows(include_str!("posts.csv")).filter_map(|row| read(&row)).collect());

fn read(row: &Row<'static>) -> Option<Post> {
    let large = row.length("large_long").zip(row.length("large_short")).zip(row.length("large_thick"));
    Some(Post {
        post: row.text("post"),
        class: row.text("class"),
        title: row.text("title"),
        min_long: row.length("min_long"),
        min_short: row.length("min_short"),
        min_thick: row.length("min_thick"),
        max_long: Some(row.length("max_long")?),
        max_short: row.length("max_short"),
        max_thick: row.length("max_thick"),
        max_sum: row.length("max_sum"),
        min_mass: row.number("min_g"),
        max_mass: row.number("max_g"),
        min_ratio: row.number("ratio_min"),
        max_ratio: row.number("ratio_max"),
        outside_ratio: match row.text("outside_ratio") {
            "refuse" => OutsideRatio::Refuse,
            _ => OutsideRatio::Surcharge,
        },
        large: large.map(|((long, short), thick)| (long, short, thick)),
        max_uneven: row.length("max_uneven"),
        tolerance: row.length("tolerance").unwrap_or(Exact::ZERO),
        as_of: row.text("as_of"),
        source: row.text("source"),
    })
}

/// Every class of every post, in the order of the table.
pub fn posts() -> &'static [Post] {
    &POSTS
}

/// The limits of a class: `("royal_mail", "letter")`.
pub fn post(post: &str, class: &str) -> Option<&'static Post> {
    POSTS.iter().find(|p| p.post == post && p.class == class)
}

/// Every post, each once.
pub fn post_names() -> impl Iterator<Item = &'static str> {
    let first = |i: &usize| POSTS.iter().position(|p| p.post == POSTS[*i].post) == Some(*i);
    (0..POSTS.len()).filter(first).map(|i| POSTS[i].post)
}

/// The classes of one post.
pub fn post_classes(post: &str) -> impl Iterator<Item = &'static str> {
    POSTS.iter().filter(move |p| p.post == post).map(|p| p.class)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read() {
        assert_eq!(POSTS.len(), include_str!("posts.csv").lines().count() - 1);
        assert!(POSTS.iter().all(|p| !p.source.is_empty() && !p.as_of.is_empty() && !p.title.is_empty()));
    }

    #[test]
    fn limits_are_in_order() {
        for p in posts() {
            assert!(p.min_long <= p.max_long, "{}", p.title);
            assert!(p.max_short.is_none() || p.min_short <= p.max_short, "{}", p.title);
            assert!(p.max_short.is_none() || p.max_short <= p.max_long, "{}", p.title);
        }
    }

    #[test]
    fn names_for_suggestions() {
        let names: Vec<_> = post_names().collect();
        assert_eq!(names.iter().filter(|n| **n == "usps").count(), 1);
        assert!(post_classes("royal_mail").eq(["letter", "large_letter"]));
        assert_eq!(post_classes("nowhere").count(), 0);
    }
}
