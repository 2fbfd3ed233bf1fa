//! One suite, two engines: what holds on SQLite holds on PostgreSQL.

#[path = "conformance/crew.rs"]
mod crew;
#[path = "conformance/database.rs"]
mod database;
#[path = "conformance/floor.rs"]
mod floor;
#[path = "conformance/giving.rs"]
mod giving;
#[path = "support/ground.rs"]
mod ground;
#[path = "conformance/jobs.rs"]
mod jobs;
#[path = "conformance/life.rs"]
mod life;
#[path = "conformance/machines.rs"]
mod machines;
#[path = "conformance/measures.rs"]
mod measures;
#[path = "conformance/notes.rs"]
mod notes;
#[path = "conformance/notices.rs"]
mod notices;
#[path = "conformance/parts.rs"]
mod parts;
#[path = "conformance/passkeys.rs"]
mod passkeys;
#[path = "conformance/people.rs"]
mod people;
#[path = "conformance/plans.rs"]
mod plans;
#[path = "support/postgres.rs"]
mod postgres;
#[path = "conformance/programs.rs"]
mod programs;
#[path = "conformance/programs_of_others.rs"]
mod programs_of_others;
#[path = "conformance/region_ground.rs"]
mod region_ground;
#[path = "support/sample.rs"]
mod sample;
#[path = "conformance/spools.rs"]
mod spools;
#[path = "conformance/undo.rs"]
mod undo;

use ground::Ground;

/// Runs every case on a fresh store of each engine.
macro_rules! on_both {
    ($($file:ident::$case:ident),+ $(,)?) => {
        mod on_sqlite {
            $(#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
            async fn $case() {
                super::$file::$case(&super::Ground::sqlite().await).await;
            })+
        }
        mod on_postgres {
            $(#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
            async fn $case() {
                let Some(ground) = super::Ground::postgres().await else { return };
                super::$file::$case(&ground).await;
            })+
        }
    };
}

on_both![
    database::every_statement_is_taken,
    database::what_is_on_record_can_not_be_edited,
    database::a_newer_schema_is_refused,
    database::tables_from_before_runs_were_kept_are_brought_up_to_date,
    database::a_row_without_what_it_belongs_to_is_refused,
    database::opening_again_finds_everything_and_changes_nothing,
    crew::what_is_said_of_a_crew_is_kept_in_order_and_once,
    crew::a_nickname_is_had_once_and_is_gone_with_its_owner,
    crew::who_was_there_is_forgotten_and_never_in_the_log,
    crew::what_an_adult_has_to_look_at_stands_with_its_deed,
    crew::sign_offs_are_never_edited,
    parts::a_region_is_found_by_name_or_as_the_first,
    parts::of_two_that_start_with_one_region_both_get_the_same,
    parts::a_blob_is_kept_once_and_absence_is_none,
    parts::a_damaged_blob_is_noticed_and_put_right,
    parts::the_same_file_of_the_same_part_is_one_version,
    parts::one_version_sent_eight_times_at_once_is_one_version,
    parts::a_version_is_found_by_file_unit_and_engine,
    parts::an_estimate_is_never_overwritten,
    giving::giving_writes_all_of_it,
    giving::a_key_used_twice_is_one_pledge,
    giving::a_pledge_on_a_plate_that_is_there_rides_with_it,
    giving::a_key_used_for_something_else_is_refused,
    giving::of_two_pledges_on_one_revision_one_is_stale_and_leaves_nothing,
    giving::eight_at_once_leave_one_winner,
    giving::one_key_eight_times_at_once_is_one_pledge,
    giving::givers_that_quote_again_all_get_through_in_a_row,
    giving::whatever_fails_on_the_way_leaves_nothing,
    giving::nothing_is_seen_from_another_region,
    plans::a_plan_is_saved_only_on_the_head,
    plans::a_plan_outlives_another_order_of_printers,
    plans::two_printers_of_one_name_are_refused,
    plans::a_floor_is_of_one_moment,
    machines::where_a_reading_stands_is_kept_once_a_turn,
    machines::what_a_printer_said_is_kept_once_and_passed_over_when_taken_back,
    region_ground::a_printer_that_works_again_ends_what_was_told_of_it_before,
    undo::a_deed_that_is_taken_back_counts_no_more,
    undo::what_was_taken_back_stays_on_record_and_can_be_done_again,
    life::a_copy_and_a_request_step_as_the_table_says,
    life::a_deed_sent_twice_is_done_once,
    life::a_pledge_ends_once_and_what_was_given_stays,
    life::entries_are_numbered_without_gaps_however_many_write,
    floor::a_request_counted_before_another_came_is_not_received,
    floor::a_box_keeps_the_code_that_it_was_first_closed_with,
    floor::a_request_is_received_once_and_pledged_later,
    floor::a_failed_run_writes_all_of_it_once,
    floor::a_store_that_looked_before_sees_what_others_wrote_since,
    floor::what_happens_on_an_old_plan_is_stale_and_leaves_nothing,
    floor::a_step_is_taken_once,
    floor::a_plate_from_before_learning_was_worked_out_as_expected,
    measures::the_dimensions_of_a_request_are_kept_in_their_order_and_go_on_with_it,
    measures::what_was_measured_is_kept_with_its_deed_until_that_is_taken_back,
    notes::a_held_request_has_no_answer_until_it_is_refused_or_pledged,
    notes::a_note_is_written_once_with_its_step_or_not_at_all,
    notes::a_request_taken_down_is_never_pledged_again,
    notes::tables_from_before_notes_are_brought_up_to_date,
    notices::what_is_told_is_told_once_and_seen_up_to_a_mark,
    notices::a_message_is_made_once_and_a_notice_stands_in_one,
    notices::a_message_that_was_cut_off_never_goes_again_by_itself,
    notices::an_erased_person_leaves_no_notice_and_no_message,
    programs::a_program_is_kept_with_its_plan_once_and_the_latest_counts,
    programs::a_program_on_an_old_plan_or_of_no_plate_leaves_nothing,
    programs::tables_from_before_programs_keep_their_runs,
    people::an_erased_person_leaves_an_id_and_nothing_else,
    people::an_address_is_had_once_and_a_nickname_once_a_team,
    people::a_code_works_as_often_as_it_says_and_not_after_its_end,
    people::of_eight_that_take_the_last_use_at_once_one_gets_it,
    people::one_reset_link_counts_and_it_counts_once,
    people::a_sign_in_ends_with_the_role_that_is_worn,
    people::a_role_given_again_lets_in_no_program_and_no_browser_of_before,
    people::who_is_signed_out_everywhere_gets_in_by_nothing_looked_at_before,
    people::of_two_coordinators_who_end_each_other_at_once_one_stays,
    people::tries_are_counted_by_all_servers_and_forgotten,
    passkeys::a_challenge_is_taken_once_by_whichever_server,
    passkeys::a_passkey_lets_in_while_it_is_there_and_its_counter_goes_up,
    passkeys::a_student_has_no_passkey,
    passkeys::passkeys_go_with_signing_out_everywhere_and_with_their_person,
    spools::what_is_told_of_spools_is_read_as_it_was_written,
    spools::a_delivery_ends_once,
    spools::a_deed_on_spools_sent_twice_is_done_once,
    spools::of_two_that_changed_spools_at_once_the_second_looks_again,
    spools::a_run_takes_its_filament_with_the_end_of_it_or_not_at_all,
    spools::killed_between_reading_and_use_nothing_acknowledged_is_lost,
    spools::nothing_of_spools_can_be_edited,
    programs_of_others::a_token_ends_with_its_role_and_goes_with_its_person,
    programs_of_others::an_entry_is_queued_once_for_each_address,
    programs_of_others::free_words_of_people_are_not_told,
    region_ground::a_closure_is_kept_with_its_schools_until_it_is_lifted,
    region_ground::a_newer_region_file_takes_the_place_of_the_one_it_was_made_from,
    region_ground::what_the_ground_was_can_not_be_edited,
    region_ground::tables_from_before_closures_are_brought_up_to_date,
    jobs::a_job_is_claimed_once_and_comes_back_after_a_failure,
    jobs::a_lease_that_is_over_gives_the_work_to_the_next,
    jobs::eight_workers_share_the_work,
];
