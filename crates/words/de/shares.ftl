### shares
