### lessons
