### api
