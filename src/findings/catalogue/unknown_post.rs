use super::*;

/// A post or a class of post that is not in the tables.
pub struct UnknownPost {
    pub place: Span,
    pub name: String,
    pub post: Option<String>,
    pub near: Option<String>,
    pub choices: Vec<String>,
}

pub static ENTRY: Entry = Entry {
    name: "unknown-post",
    severity: Severity::Error,
    family: Family::Values,
    title: "There is no such post or class",
    explanation: "The limits of several posts are kept in dated tables. Name the post and its class, for example `post usps letter` or `post royal_mail large_letter`.",
    wrong: r#"card "Kite"
post usps leter
paper board: 200gsm
piece kite of board { size 100mm by 140mm }
"#,
    right: r#"card "Kite"
post usps letter
paper board: 300gsm, 0.4mm thick
piece kite of board { size 100mm by 140mm }
"#,
};

impl Fault for UnknownPost {
    fn entry(&self) -> &'static Entry {
        &ENTRY
    }

    fn tell(&self, _: &Say) -> Telling {
        let message = match &self.post {
            Some(post) => format!("`{post}` has no class `{}`", self.name),
            None => format!("there is no post `{}` in the tables", self.name),
        };
        let mut telling = Telling::new(self.place, message).label("unknown");
        if let Some(near) = &self.near {
            telling = telling.help(format!("did you mean `{near}`?")).propose(self.place, near.clone(), true);
        } else {
            telling = telling.help(format!("known are {}", self.choices.join(", ")));
        }
        telling
    }
}
