//! The outbox: every message that would go out by e-mail, and what became of it.
//!
//! A message is marked as on its way, on disk, before it is handed over. Found so after a kill,
//! nobody can tell whether it went: it is given up, and never goes a second time by itself.
//! Addresses are not kept here; they are read from the person when one is sent or shown.

use partpledge_units::ids::{IdSource, MessageId, PersonId, RegionId};
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::persons::{parsed, words};
use crate::store::Store;

/// What somebody wants by e-mail.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum MailChoice {
    /// Nothing.
    None,
    /// One message in the morning.
    #[default]
    Digest,
    /// That, and at once what is urgent.
    Urgent,
}

words!(MailChoice: None = "none", Digest = "digest", Urgent = "urgent");

/// Why a message was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MessageKind {
    /// Of the morning.
    Digest,
    /// At once.
    Urgent,
}

words!(MessageKind: Digest = "digest", Urgent = "urgent");

/// What became of a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MessageState {
    /// Not sent: e-mail is off, it is night, or it is tried again.
    Kept,
    /// Being handed over.
    Going,
    /// The mail server took it.
    Sent,
    /// Given up.
    Failed,
}

words!(MessageState: Kept = "kept", Going = "going", Sent = "sent", Failed = "failed");

/// A message to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewMessage {
    /// To whom.
    pub person: PersonId,
    /// Why.
    pub kind: MessageKind,
    /// There is one message of a person by that name, such as `day 2027-03-09`.
    pub key: String,
    /// What it is called.
    pub subject: String,
    /// Plain text.
    pub body: String,
}

/// A message as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Message {
    /// Its id.
    pub id: MessageId,
    /// What it says, to whom.
    pub said: NewMessage,
    /// Since when.
    pub made_at: EventMs,
    /// What became of it.
    pub state: MessageState,
    /// Tries, one that is going on included.
    pub attempts: i64,
    /// Not to be tried before; for one that is going, since when.
    pub run_after: EventMs,
    /// Why the last try failed.
    pub failure: Option<String>,
    /// When the mail server took it.
    pub sent_at: Option<EventMs>,
}

sql! {
    ADD = "INSERT INTO outbox (region_id, message_id, person_id, kind, told_key, subject, body,
            made_at, state, attempts, run_after)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, 'kept', 0, $8) ON CONFLICT DO NOTHING";
    HOLDS = "UPDATE notices SET message_id = $4
        WHERE region_id = $1 AND person_id = $2 AND n = $3 AND message_id IS NULL";
    ALL = "SELECT message_id, person_id, kind, told_key, subject, body, made_at, state, attempts,
            run_after, failure, sent_at
        FROM outbox WHERE region_id = $1 ORDER BY made_at DESC, message_id DESC LIMIT $2";
    OF_PERSON = "SELECT message_id, person_id, kind, told_key, subject, body, made_at, state,
            attempts, run_after, failure, sent_at
        FROM outbox WHERE region_id = $1 AND person_id = $2 ORDER BY made_at, message_id";
    DUE = "SELECT message_id, person_id, kind, told_key, subject, body, made_at, state, attempts,
            run_after, failure, sent_at
        FROM outbox WHERE region_id = $1 AND state = 'kept' AND run_after <= $2 AND made_at > $3
        ORDER BY run_after, message_id LIMIT 100";
    GO = "UPDATE outbox SET state = 'going', attempts = attempts + 1, run_after = $4
        WHERE region_id = $1 AND message_id = $2 AND state = 'kept' AND attempts = $3";
    LEAVE = "UPDATE outbox SET state = $4, run_after = $5, failure = $6, sent_at = $7
        WHERE region_id = $1 AND message_id = $2 AND attempts = $3 AND state = 'going'";
    WAIT = "UPDATE outbox SET attempts = attempts + 1, state = $4, run_after = $5, failure = $6
        WHERE region_id = $1 AND message_id = $2 AND attempts = $3 AND state = 'kept'";
    CUT_OFF = "UPDATE outbox SET state = 'failed', failure = $3
        WHERE region_id = $1 AND state = 'going' AND run_after < $2";
    TOO_LATE = "UPDATE outbox SET state = 'failed',
            failure = COALESCE(CAST($3 AS TEXT) || ' ' || failure, CAST($3 AS TEXT))
        WHERE region_id = $1 AND state = 'kept' AND made_at <= $2";
    HAS = "SELECT 1 FROM outbox WHERE region_id = $1 AND person_id = $2 AND told_key = $3";
    AGAIN = "UPDATE outbox SET state = 'kept', run_after = $3, made_at = $3
        WHERE region_id = $1 AND message_id = $2 AND state = 'failed'";
    /// Never students, whatever is written of them.
    WAITED_FOR = "SELECT DISTINCT n.person_id FROM notices n
        JOIN persons p ON p.region_id = n.region_id AND p.person_id = n.person_id
        WHERE n.region_id = $1 AND n.at > $2 AND n.message_id IS NULL
            AND p.kind = 'adult' AND p.email IS NOT NULL
        ORDER BY n.person_id";
    CHOICE = "SELECT choice FROM mail_choices WHERE region_id = $1 AND person_id = $2";
    CHOOSE = "INSERT INTO mail_choices (region_id, person_id, choice) VALUES ($1, $2, $3)
        ON CONFLICT (region_id, person_id) DO UPDATE SET choice = excluded.choice";
    FORGET = "DELETE FROM outbox WHERE region_id = $1 AND person_id = $2";
    FORGET_CHOICE = "DELETE FROM mail_choices WHERE region_id = $1 AND person_id = $2";
    LET_GO = "UPDATE notices SET message_id = NULL
        WHERE region_id = $1 AND person_id = $2 AND message_id IN
            (SELECT message_id FROM outbox
            WHERE region_id = $1 AND person_id = $2 AND state = 'kept')";
    /// Also what was given up: the coordinator could send that again.
    TAKE_BACK = "DELETE FROM outbox
        WHERE region_id = $1 AND person_id = $2 AND state IN ('kept', 'failed')";
    OLD = "DELETE FROM outbox WHERE region_id = $1 AND made_at < $2 AND state <> 'going'";
}

fn message(row: &Row) -> Result<Message, StoreError> {
    Ok(Message {
        id: row.id(0)?,
        said: NewMessage {
            person: row.id(1)?,
            kind: parsed(row, 2)?,
            key: row.text(3)?,
            subject: row.text(4)?,
            body: row.text(5)?,
        },
        made_at: EventMs(row.int(6)?),
        state: parsed(row, 7)?,
        attempts: row.int(8)?,
        run_after: EventMs(row.int(9)?),
        failure: row.opt_text(10)?,
        sent_at: row.opt_int(11)?.map(EventMs),
    })
}

/// All messages to somebody go, and what they chose.
pub(crate) async fn forget(tx: &mut Tx, (region, who): (&str, &str)) -> Result<(), StoreError> {
    for sql in [FORGET, FORGET_CHOICE] {
        tx.run(sql, values![region, who]).await?;
    }
    Ok(())
}

/// Messages to somebody that were not sent go, given up or not: they may tell of a role that was
/// lost. What those that were still to be sent hold of other roles comes with the next one; one that
/// was given up may have gone, and what it holds is not sent twice.
pub(crate) async fn take_back(tx: &mut Tx, (region, who): (&str, &str)) -> Result<(), StoreError> {
    for sql in [LET_GO, TAKE_BACK] {
        tx.run(sql, values![region, who]).await?;
    }
    Ok(())
}

impl Store {
    /// Writes a message that holds these notices of its person. `false` when it is there already,
    /// or one of the notices stands in another; nothing is written then.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn add_message(
        &self,
        region: RegionId,
        (new, holds): (&NewMessage, &[i64]),
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<bool, StoreError> {
        let mut tx = self.db.begin().await?;
        let (place, who) = (region.to_string(), new.person.to_string());
        let id = MessageId::fresh(ids, at).to_string();
        let row = values![
            place.as_str(),
            id.as_str(),
            who.as_str(),
            new.kind.as_str(),
            new.key.as_str(),
            new.subject.as_str(),
            new.body.as_str(),
            at.0
        ];
        if tx.run(ADD, row).await? == 0 {
            return Ok(false);
        }
        for n in holds {
            let row = values![place.as_str(), who.as_str(), *n, id.as_str()];
            if tx.run(HOLDS, row).await? == 0 {
                return Ok(false);
            }
        }
        tx.commit().await?;
        Ok(true)
    }

    /// Adults with an address who have notices since then that stand in no message.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn waited_for(
        &self,
        region: RegionId,
        since: EventMs,
    ) -> Result<Vec<PersonId>, StoreError> {
        let which = values![region.to_string(), since.0];
        let rows = self.db.rows(WAITED_FOR, which).await?;
        rows.iter().map(|row| row.id(0)).collect()
    }

    /// The last messages of the region, at most so many, the last first.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn messages(&self, region: RegionId, most: i64) -> Result<Vec<Message>, StoreError> {
        let rows = self.db.rows(ALL, values![region.to_string(), most]).await?;
        rows.iter().map(message).collect()
    }

    /// All messages to somebody, oldest first.
    ///
    /// # Errors
    /// As [`Store::messages`].
    pub async fn messages_to(
        &self,
        region: RegionId,
        id: PersonId,
    ) -> Result<Vec<Message>, StoreError> {
        let whose = values![region.to_string(), id.to_string()];
        let rows = self.db.rows(OF_PERSON, whose).await?;
        rows.iter().map(message).collect()
    }

    /// Messages made after `since` that may be tried now, those that wait longest first, at most
    /// 100.
    ///
    /// # Errors
    /// As [`Store::messages`].
    pub async fn messages_due(
        &self,
        region: RegionId,
        now: EventMs,
        since: EventMs,
    ) -> Result<Vec<Message>, StoreError> {
        let which = values![region.to_string(), now.0, since.0];
        let rows = self.db.rows(DUE, which).await?;
        rows.iter().map(message).collect()
    }

    /// Marks a message as on its way; as it is then. `None` when somebody else was faster.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn message_goes(
        &self,
        region: RegionId,
        kept: &Message,
        now: EventMs,
    ) -> Result<Option<Message>, StoreError> {
        let mut tx = self.db.begin().await?;
        let which = values![
            region.to_string(),
            kept.id.to_string(),
            kept.attempts,
            now.0
        ];
        let taken = tx.run(GO, which).await? == 1;
        tx.commit().await?;
        Ok(taken.then(|| Message {
            state: MessageState::Going,
            attempts: kept.attempts + 1,
            run_after: now,
            ..kept.clone()
        }))
    }

    /// Writes down what became of a message, as it was taken: sent, failed, or kept and tried again
    /// from then on.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn message_done(
        &self,
        region: RegionId,
        taken: &Message,
        (state, why, at): (MessageState, Option<&str>, EventMs),
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let row = values![
            region.to_string(),
            taken.id.to_string(),
            taken.attempts,
            state.as_str(),
            at.0,
            why.map(str::to_owned),
            (state == MessageState::Sent).then_some(at.0)
        ];
        tx.run(LEAVE, row).await?;
        tx.commit().await
    }

    /// A try came to nothing before the message was handed over: kept until then, or given up.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn message_waits(
        &self,
        region: RegionId,
        kept: &Message,
        (state, why, until): (MessageState, &str, EventMs),
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let row = values![
            region.to_string(),
            kept.id.to_string(),
            kept.attempts,
            state.as_str(),
            until.0,
            why
        ];
        tx.run(WAIT, row).await?;
        tx.commit().await
    }

    /// Gives up messages that have been on their way since before then: whoever sent them was cut
    /// off. How many.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn messages_cut_off(
        &self,
        region: RegionId,
        before: EventMs,
        why: &str,
    ) -> Result<u64, StoreError> {
        let mut tx = self.db.begin().await?;
        let which = values![region.to_string(), before.0, why];
        let many = tx.run(CUT_OFF, which).await?;
        tx.commit().await?;
        Ok(many)
    }

    /// Gives up messages that are kept since then or before; why each try failed stands after `why`.
    /// How many.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn messages_too_late(
        &self,
        region: RegionId,
        since: EventMs,
        why: &str,
    ) -> Result<u64, StoreError> {
        let which = values![region.to_string(), since.0, why];
        self.db.alone(TOO_LATE, which).await
    }

    /// Whether somebody has a message by that name, sent or not.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn has_message(
        &self,
        region: RegionId,
        (id, key): (PersonId, &str),
    ) -> Result<bool, StoreError> {
        let which = values![region.to_string(), id.to_string(), key];
        Ok(!self.db.rows(HAS, which).await?.is_empty())
    }

    /// A message that was given up is to be tried again.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] for one that is not there or was not given up.
    pub async fn message_again(
        &self,
        region: RegionId,
        id: MessageId,
        now: EventMs,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let which = values![region.to_string(), id.to_string(), now.0];
        if tx.run(AGAIN, which).await? == 0 {
            let (what, id) = ("message", id.to_string());
            return Err(StoreError::NoSuch { what, id });
        }
        tx.commit().await
    }

    /// What somebody wants by e-mail.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn mail_choice(
        &self,
        region: RegionId,
        id: PersonId,
    ) -> Result<MailChoice, StoreError> {
        let whose = values![region.to_string(), id.to_string()];
        let rows = self.db.rows(CHOICE, whose).await?;
        let chosen = rows.first().map(|row| parsed(row, 0)).transpose()?;
        Ok(chosen.unwrap_or_default())
    }

    /// Somebody chooses what they want by e-mail.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn choose_mail(
        &self,
        region: RegionId,
        id: PersonId,
        choice: MailChoice,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let row = values![region.to_string(), id.to_string(), choice.as_str()];
        tx.run(CHOOSE, row).await?;
        tx.commit().await
    }

    /// Forgets messages from before; how many.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn forget_messages(
        &self,
        region: RegionId,
        before: EventMs,
    ) -> Result<u64, StoreError> {
        self.db
            .alone(OLD, values![region.to_string(), before.0])
            .await
    }
}
