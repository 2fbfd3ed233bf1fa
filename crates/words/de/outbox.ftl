### outbox
