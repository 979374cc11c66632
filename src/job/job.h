// The job document: one readable JSON file, read, checked and written.
//
// docs/job-file.md describes it; docs/job.schema.json is the same for editors. Both
// come from the tables that the reader uses (src/job/fields.c), so they cannot
// differ from it. Only this module knows the JSON library (jansson).
#pragma once

#include "base/json.h"
#include "base/problem.h"
#include "base/units.h"
#include "buying/household.h"
#include "buying/leather.h"
#include "buying/offer.h"
#include "cutting/cutting.h"

enum {
    JOB_BYTES_MAX = 8 << 20,
    JOB_DEPTH_MAX = 16,    ///< objects and lists in one another
    JOB_SEATS_MAX = 40,    ///< seat kinds
    JOB_CHAIRS_MAX = 200,  ///< chairs with corrections, in all kinds together
    JOB_COVERS_MAX = 1000, ///< chairs in all
    JOB_HIDES_MAX = 20,
    JOB_OFFERS_MAX = 20,
    JOB_GRADES_MAX = 20,
    JOB_NAME_MAX = 80, ///< bytes of a name
    JOB_NOTES_MAX = 4000,
    JOB_OUTLINE_POINTS_MAX = 5000, ///< of a traced frame
};

/// One chair whose frame or padding differs from its kind: the kind's values with
/// this chair's corrections already put in.
typedef struct JobChair {
    const char *name;
    Frame frame;
    BuildUp build_up;
    Fixing fixing;
    const char *beside; ///< the chair or kind that it stands beside, or NULL
} JobChair;

typedef struct JobSeat {
    const char *name;
    int count; ///< chairs of this kind, those with corrections among them
    Frame frame;
    BuildUp build_up;
    Fixing fixing;
    CutStyle cut;
    const char *beside;  ///< as a chair's
    double clearance_mm; ///< each side, board to the chair's rail; -1: not measured
    JobChair *chairs;
    int chair_count;
} JobSeat;

/// What a supplier calls a grade, put on the nearest of ours.
typedef struct JobGrade {
    HideGrade grade; ///< under its name, with the numbers that the job replaces
    int like;        ///< index of hide_grades: all other numbers are its
    const char *notes;
} JobGrade;

typedef enum JobPaper { PAPER_A4, PAPER_LETTER, JOB_PAPER_COUNT } JobPaper;
extern const char *const job_paper_names[JOB_PAPER_COUNT]; ///< A4, Letter

typedef struct Job {
    const char *name;
    const char *notes; ///< or NULL
    Units units;
    const char *currency; ///< of all prices, three letters; NULL: not said
    JobPaper paper;
    const char *leather_name; ///< what the leather is called, or NULL
    LeatherSheet leather;
    LeatherWish wish;
    Household household;
    bool household_given;
    JobSeat *seats;
    int seat_count;
    HideEntry *hides;
    int hide_count;
    JobGrade *grades;
    int grade_count;
    Offer *offers;
    int offer_count;
    LayingRules laying;
    LayoutOptions search;
} Job;

/// A kind of seat, or one of its chairs.
typedef struct JobPlace {
    int seat;
    int chair; ///< index into the kind's chairs, or -1: the kind itself
} JobPlace;

/// What a text of `beside` names: a kind, a single chair, or `kind, chair` where two kinds have
/// chairs of that name.
///
/// Result   how many there are by that name; *place is the first.
int job_find(const Job *job, const char *name, JobPlace *place);

/// Numbers of the groups whose chairs stand side by side, from 1; 0 where nobody said so.
///
/// Shapes   of_seat[seat_count]; of_chair has those of all kinds' chairs in a row.
/// Method   who is named or names another leaves the group of their kind and joins theirs.
void job_groups(const Job *job, int *of_seat, int *of_chair);

/// One of our grades or of the job's by its name, or NULL.
const HideGrade *job_grade(const Job *job, const char *name);

/// All that there are: `clean, sound, lively, rough or "second choice"`.
const char *job_grade_list(const Job *job, Arena *keep);

/// The name that was meant, of all that there are (text_nearest()), or NULL.
const char *job_grade_nearest(const Job *job, const char *name);

/// What a grade lets through, in words; of the job's what it is like, and what is replaced:
/// `like "lively" (twice the spots ...), but with spots 1.5`.
const char *job_grade_words(const Job *job, const HideGrade *grade, Arena *keep);

/// Members `grade`, `grade_like` and `grade_replaced` of a document: its name, that of ours, and
/// the numbers that are not those of ours.
void job_grade_json(const Job *job, const HideGrade *grade, Json *json);

/// Reads a job from its text.
///
/// `source` names the text in syntax errors (`club.json:14:22`). All that the job
/// points to lives in `keep`. `job` is left alone when it is refused.
/// Errors   false when any mistake was found; all of them are in `problems`, each
///          with the path in the document. Unknown and repeated keys are mistakes.
///          *job then holds what could be read, so that more can be checked: an entry
///          is sound when no mistake lies at its path or below. It is untouched when
///          the text is no JSON.
///          Geometry is checked by those who make it (plan_derive()).
MUST_CHECK bool job_read(const char *text, size_t bytes, const char *source, Arena *keep, Job *job,
                         Problems *problems);

/// Whether a text is a JSON object within the limits of a job's document, whatever else may be
/// wrong with it. Errors   false with its mistakes, as job_read() tells them.
MUST_CHECK bool job_is_document(const char *text, size_t bytes, const char *source, Arena *keep,
                                Problems *problems);

/// Writes a job in its canonical form, in the job's own units, defaults left out.
/// Reading the result and writing it again gives the same bytes.
void job_write(const Job *job, Text *text);

/// One hide in a document of its own, as a workshop keeps it:
/// `{"seatwright": 1, "units": "in", "hide": {...}}`, the hide as in a job.
typedef struct JobHide {
    Units units;
    HideEntry hide;
} JobHide;

/// Reads and writes it, as job_read() and job_write() do a job.
MUST_CHECK bool job_hide_read(const char *text, size_t bytes, const char *source, Arena *keep,
                              JobHide *hide, Problems *problems);
void job_hide_write(const JobHide *hide, Text *text);

/// The JSON Schema (draft 2020-12) of the document.
void job_schema(Text *text);

/// The tables of docs/job-file.md, as Markdown.
void job_fields_markdown(Text *text);
