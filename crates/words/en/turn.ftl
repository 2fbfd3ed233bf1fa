### turn
