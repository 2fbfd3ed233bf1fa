### boxes
