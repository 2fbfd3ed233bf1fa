### people
