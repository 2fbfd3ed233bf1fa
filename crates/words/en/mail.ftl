### mail
