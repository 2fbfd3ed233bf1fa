### notices
