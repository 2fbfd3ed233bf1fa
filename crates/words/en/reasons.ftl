### reasons
