### region
