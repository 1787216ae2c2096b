//! How a run ended, and what it has to say.

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// All went well; exit code 0.
    Clean,
    /// The records have problems; exit code 1.
    Problems,
    /// The run could not be made; exit code 2.
    CouldNotRun,
}

impl Status {
    /// The exit code.
    #[must_use]
    pub fn code(self) -> u8 {
        match self {
            Self::Clean => 0,
            Self::Problems => 1,
            Self::CouldNotRun => 2,
        }
    }
}

/// What a command has to say.
#[derive(Debug)]
pub struct Outcome {
    /// For standard output.
    pub out: String,
    /// For standard error.
    pub err: String,
    /// How it ended.
    pub status: Status,
}

impl Outcome {
    pub fn clean(out: impl Into<String>) -> Self {
        Self {
            out: out.into(),
            err: String::new(),
            status: Status::Clean,
        }
    }

    /// With something to be told beside what was asked for.
    #[must_use]
    pub fn noting(self, err: String) -> Self {
        Self { err, ..self }
    }

    /// Nothing was done, for these problems.
    pub fn problems(err: String) -> Self {
        Self {
            out: String::new(),
            err,
            status: Status::Problems,
        }
    }
}
