### pledge
