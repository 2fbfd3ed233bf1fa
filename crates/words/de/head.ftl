### head
