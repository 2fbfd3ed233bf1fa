### plates
