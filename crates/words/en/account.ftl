### account
