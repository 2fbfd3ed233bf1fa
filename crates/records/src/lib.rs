//! The store: SQLite and PostgreSQL, blobs, events, jobs.
