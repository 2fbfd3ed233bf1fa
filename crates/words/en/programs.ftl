### programs
