//! One scene of boards, plans and sheets, for screen, export and print.
