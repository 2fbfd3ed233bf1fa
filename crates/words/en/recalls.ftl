### recalls
