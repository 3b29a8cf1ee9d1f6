//! How tidying lays out a job.

use wyeline_job::tidy;

#[test]
fn steps_are_indented_and_their_first_words_stand_in_a_column() {
    let text = "waste w\nstart 0,0 datum\n      catch WC1   size 2\"\n up 5'\ncap";
    let laid = "waste w\n  start 0,0 datum\n  catch WC1 size 2\"\n  up    5'\n  cap\n";
    assert_eq!(tidy(text), laid);
}

#[test]
fn neighbours_of_a_kind_stand_in_columns() {
    let text = "level main floor 0\n\nfixture A sink main 0,0 faces east\n\
                fixture LONG water-closet main 10',0 faces west drain left\n";
    let laid = "level main floor 0\n\n\
                fixture A    sink         main 0,0   faces east\n\
                fixture LONG water-closet main 10',0 faces west drain left\n";
    assert_eq!(tidy(text), laid);
}

#[test]
fn a_group_is_indented_and_its_runs_once_more() {
    let text = "level m floor 0\ngroup g\nroom \"x\" here 0,0\ncold c\nstart 0,0 datum\ncap\nend-group\nplace g as A at 0,0 on m";
    let laid = "level m floor 0\ngroup g\n  room \"x\" here 0,0\n  cold c\n    start 0,0 datum\n    cap\nend-group\nplace g as A at 0,0 on m\n";
    assert_eq!(tidy(text), laid);
}

#[test]
fn blank_lines_are_trimmed_and_never_doubled() {
    assert_eq!(
        tidy("\n\n units  m \r\n\n\n\ncode   ipc-2021\n\n"),
        "units m\n\ncode ipc-2021\n"
    );
}

#[test]
fn remarks_are_kept_in_their_order() {
    let text = "#   first   words\nunits m   #  kept   as it is  \n   # last\ncode x # end";
    let laid = "#   first   words\nunits m  #  kept   as it is\n# last\ncode  x  # end\n";
    assert_eq!(tidy(text), laid);
}

#[test]
fn lines_with_mistakes_are_kept_to_the_byte_but_for_trailing_space() {
    let text = "units m\n   wal   main  0,0  \t\ncode  ipc-2021";
    assert_eq!(tidy(text), "units m\n   wal   main  0,0\ncode ipc-2021\n");
}

#[test]
fn spaces_inside_quotes_and_in_the_jobs_name_are_kept() {
    assert_eq!(
        tidy("job   Heron   Cottage\nnote  \"as   found\""),
        "job  Heron   Cottage\nnote \"as   found\"\n"
    );
}
