//! All integration tests in one binary: it is linked once, and its tests share the cores there are.

#![allow(
    clippy::pedantic,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr,
    unreachable_pub,
    reason = "a test may stop where it stands, and its kennel is written plainly"
)]

mod support;

mod acts;
mod acts_later;
mod acts_meant;
mod adverts;
#[path = "attack/records.rs"]
mod attack_records;
#[path = "attack/requests.rs"]
mod attack_requests;
#[path = "attack/shown.rs"]
mod attack_shown;
mod backup;
mod bad_input;
mod bitches;
mod boundary;
mod cases;
mod changes;
mod commands;
mod days;
mod demo;
mod desk;
mod desk_forms;
mod desk_given;
mod desk_long;
mod export;
mod figures;
mod first_hour;
mod first_start;
mod follow_up;
mod house;
mod interruption;
mod keeping;
mod parents;
mod phones;
mod photo_pipeline;
mod rebuild;
mod record_guide;
mod rounds;
mod secrets;
#[path = "attack/spoilt.rs"]
mod spoilt;
mod tend;
mod thin;
mod visitors;
mod warnings;
mod ways;
mod weighing;
mod whelping;
