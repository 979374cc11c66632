// docs/job.schema.json and the tables of docs/job-file.md and docs/leather.md are made of the
// tables of the code. When this fails: tools/update_job_documents.
#include "files.h"

#include "buying/advise.h"

static void the_schema_is_current(void **state)
{
    Text text = {.keep = *state};
    job_schema(&text);
    assert_string_equal(text_string(&text), file_read(DOCS "/job.schema.json", NULL, *state));
}

static void check_tables(const char *path, Text *text)
{
    static const char begin[] = "<!-- tables: made by tools/update_job_documents -->\n\n";
    static const char end[] = "<!-- end of tables -->\n";
    text_add(text, "%s", end);
    const char *document = file_read(path, NULL, text->keep);
    const char *tables = strstr(document, begin);
    assert_non_null(tables);
    assert_string_equal(text_string(text), tables + sizeof begin - 1);
}

static void the_tables_are_current(void **state)
{
    Text text = {.keep = *state};
    job_fields_markdown(&text);
    check_tables(DOCS "/job-file.md", &text);
}

static void the_tables_of_leather_are_current(void **state)
{
    Text text = {.keep = *state};
    advice_markdown(&text);
    check_tables(DOCS "/leather.md", &text);
}

// Every example of the guide that is a whole document is a good job.
static void the_examples_of_the_guide_are_good(void **state)
{
    const char *at = file_read(DOCS "/job-file.md", NULL, *state);
    int examples = 0;
    while ((at = strstr(at, "```json\n{\n"))) {
        at += strlen("```json\n");
        const char *end = strstr(at, "\n```");
        assert_non_null(end);
        (void)job_of(at, (size_t)(end - at), *state);
        at = end;
        examples++;
    }
    assert_true(examples >= 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(the_schema_is_current),
        TEST_IN_ARENA(the_tables_are_current),
        TEST_IN_ARENA(the_tables_of_leather_are_current),
        TEST_IN_ARENA(the_examples_of_the_guide_are_good),
    };
    return cmocka_run_group_tests_name("job/documents", tests, NULL, NULL);
}
