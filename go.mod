module tryring

go 1.26
