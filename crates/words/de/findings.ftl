### findings
