//! Use cases: who may do what, transactions, translation between stages.
