//! Reads plant identification keys written as plain text, proves them sound, and names plants
//! with them.
//!
//! The rooms, in the order in which data flows; each uses only what stands above it:
//! [`text`] a key as text, [`key`] a key as meaning, [`sift`] observations against a key,
//! [`check`] a key under examination, [`walk`] a determination step by step, [`craft`] making
//! and reshaping keys, [`notebook`] the collector's ledger, [`publish`] what people print, open or exchange, [`cli`] the commands.

pub mod text;

pub mod key;

pub mod sift;

pub mod check;

pub mod walk;

pub mod craft;

pub mod notebook;

pub mod publish;

pub mod cli;
