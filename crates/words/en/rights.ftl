### rights
