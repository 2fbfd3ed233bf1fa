### review
