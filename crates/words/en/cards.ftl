### cards
