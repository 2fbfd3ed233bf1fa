### send
