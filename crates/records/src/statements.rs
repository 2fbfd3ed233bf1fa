//! Every statement there is, so that both engines can be asked whether they take it.

use crate::db::{On, Sql};
use crate::error::StoreError;
use crate::store::Store;

/// The lists, one a file of the crate that has any.
const LISTS: &[&[Sql]] = &[
    crate::boxes::STATEMENTS,
    crate::codes::STATEMENTS,
    crate::crew::STATEMENTS,
    crate::estimates::STATEMENTS,
    crate::events::STATEMENTS,
    crate::floor::STATEMENTS,
    crate::ground::STATEMENTS,
    crate::hooks::STATEMENTS,
    crate::jobs::STATEMENTS,
    crate::measures::STATEMENTS,
    crate::machines::STATEMENTS,
    crate::notes::STATEMENTS,
    crate::notices::STATEMENTS,
    crate::outages::STATEMENTS,
    crate::outbox::STATEMENTS,
    crate::parts::STATEMENTS,
    crate::passkeys::STATEMENTS,
    crate::persons::STATEMENTS,
    crate::plans::STATEMENTS,
    crate::plates::STATEMENTS,
    crate::pledges::STATEMENTS,
    crate::programs::STATEMENTS,
    crate::regions::STATEMENTS,
    crate::requests::STATEMENTS,
    crate::running::STATEMENTS,
    crate::runs::STATEMENTS,
    crate::schema::STATEMENTS,
    crate::sign_ins::STATEMENTS,
    crate::spools::STATEMENTS,
    crate::standing::STATEMENTS,
    crate::steps::STATEMENTS,
    crate::tokens::STATEMENTS,
    crate::tries::STATEMENTS,
    crate::undo::STATEMENTS,
];

impl Store {
    /// Has the database read every statement meant for it, without running any; how many.
    ///
    /// # Errors
    /// [`StoreError::Refused`] with the first statement that the engine does not take.
    pub async fn prepare_all(&self) -> Result<usize, StoreError> {
        let engine = self.db.engine();
        let ours = |sql: &&Sql| sql.on == On::Both || sql.on == engine;
        let list: Vec<&Sql> = LISTS.iter().copied().flatten().filter(ours).collect();
        for sql in &list {
            let prepared = self.db.prepare(**sql).await;
            prepared.map_err(|error| StoreError::Refused {
                statement: sql.name,
                why: error.to_string(),
            })?;
        }
        Ok(list.len())
    }
}

#[cfg(test)]
mod tests {
    use super::LISTS;

    /// A file with statements that is not on the list would go unprepared.
    #[test]
    fn every_file_that_declares_statements_is_on_the_list() {
        let dir = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
        let mut files = 0;
        for entry in std::fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|kind| kind == "rs") {
                files += usize::from(std::fs::read_to_string(path).unwrap().contains("\nsql! {"));
            }
        }
        assert_eq!(files, LISTS.len());
    }
}
