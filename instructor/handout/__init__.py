"""What a class is given: modules released, everybody's slips, due dates, sheets of paper, modules of its own."""
