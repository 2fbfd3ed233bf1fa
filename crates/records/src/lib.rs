//! The store as a promise: what it has acknowledged is still there after the power goes.
//!
//! One [`Store`] over SQLite (the default, a file in the data directory) or PostgreSQL, with the
//! same SQL text for both: ids are TEXT (UUID version 7), times BIGINT milliseconds, documents
//! TEXT holding JSON. `region_id` leads every key. Absence is `Ok(None)`. Clock and ids come in
//! from outside.
//!
//! Pledges and events are append-only; plans are immutable revisions saved by compare-and-swap;
//! [`Store::give`] does all of a pledge in one transaction or nothing.

mod blobs;
mod boxes;
mod codes;
mod company;
mod crew;
mod db;
pub mod error;
mod estimates;
mod events;
mod floor;
mod give;
mod ground;
mod happening;
mod hooks;
mod jobs;
pub mod life_cycle;
mod machines;
mod measures;
mod notes;
mod notices;
mod outages;
mod outbox;
mod parts;
mod passkeys;
mod persons;
mod plans;
mod plates;
mod pledges;
mod programs;
mod regions;
mod requests;
mod running;
mod runs;
mod schema;
mod sign_ins;
mod spools;
mod standing;
mod statements;
mod steps;
mod store;
pub mod stored;
mod tokens;
mod tries;
mod undo;

pub use blobs::{BlobHash, BlobHashError};
pub use codes::{CodeKind, NewCode, StoredCode, Taker};
pub use company::printed_together;
pub use crew::{
    AdultPresent, CrewBook, CrewChange, CrewMember, CrewPresent, CrewSign, KeptLook, KeptSign,
    ToLook,
};
pub use error::{BadWord, StoreError};
pub use estimates::EstimateKey;
pub use events::{Deed, Event};
pub use floor::{Floor, Names};
pub use give::{AtOnce, Given, NewPledge};
pub use ground::{GroundChange, KeptClosure, NewRegionFile, RegionFileEntry, SiteClosure};
pub use happening::{Happening, Payload, Reprint, Said};
pub use hooks::{DELIVERY, Hook, HookTry, delivery_of, told_of};
pub use jobs::Job;
pub use life_cycle::State;
pub use machines::{MachineMoment, MachineRead, MachineWatch};
pub use measures::Measured;
pub use notes::{NewNote, Note, NoteKind};
pub use notices::{Before, NewNotice, Notice, Spot, Told, Unseen, Waited};
pub use outages::{BackInUse, Outage, ToldOfUse};
pub use outbox::{MailChoice, Message, MessageKind, MessageState, NewMessage};
pub use parts::{NewVersion, Version};
pub use passkeys::{Backup, NewChallenge, NewPasskey, Passkey};
pub use persons::{Held, NewPerson, Person, PersonKind, RoleKind};
pub use plans::SavedPlan;
pub use plates::{KeptPlate, PlateState};
pub use pledges::{Pledge, PledgeEnd, PledgeEntry, PledgeKind};
pub use programs::{NotUsed, PlateProgram};
pub use regions::StoredRegion;
pub use requests::{Asked, ListedCopy, ListedRequest, NewRequest, StoredCopy, StoredRequest};
pub use running::RunningPlate;
pub use runs::FinishedRun;
pub use sign_ins::{NewSignIn, Proof, SignIn};
pub use spools::StockChange;
pub use steps::{RunStep, StepKind};
pub use store::Store;
pub use tokens::{NewToken, StoredToken, TokenKind};
pub use undo::TakenBack;
