### part
