### why
