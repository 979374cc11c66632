// The tables of docs/leather.md.
#include "buying/advise.h"

static void add_points(Text *text, const int *points, int count)
{
    for (int i = 0; i < count; i++) {
        text_add(text, points[i] == 0 ? " |" : " %+d |", points[i]);
    }
}

static void add_rules(Text *text)
{
    text_add(text, "## Rules\n\n| when |");
    for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
        text_add(text, " %s |", leather_kind_names[k]);
    }
    for (int g = 0; g < LEATHER_GRAIN_COUNT; g++) {
        text_add(text, " %s grain |", leather_grain_names[g]);
    }
    text_add(text, " because | source |\n|---|");
    for (int i = 0; i < LEATHER_KIND_COUNT + LEATHER_GRAIN_COUNT; i++) {
        text_add(text, "---:|");
    }
    text_add(text, "---|---|\n");
    for (int r = 0; r < ADVICE_RULE_COUNT; r++) {
        const AdviceRule *rule = &advice_rules[r];
        text_add(text, "| %s |", rule->when);
        add_points(text, rule->kind, LEATHER_KIND_COUNT);
        add_points(text, rule->grain, LEATHER_GRAIN_COUNT);
        text_add(text, " %s | %s |\n", rule->reason, rule->source);
    }
}

static void add_tests(Text *text)
{
    text_add(text, "\n## What to ask the seller for\n\nSource: %s.\n\n| property | method |",
             leather_tests_source);
    for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
        text_add(text, " %s |", leather_kind_names[k]);
    }
    text_add(text, " what it means |\n|---|---|---|---|---|---|---|\n");
    for (int t = 0; t < LEATHER_TEST_COUNT; t++) {
        const LeatherTest *test = &leather_tests[t];
        text_add(text, "| %s | %s |", test->property, test->method);
        for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
            text_add(text, " %s |", test->least[k] ? test->least[k] : "-");
        }
        text_add(text, " %s |\n", test->meaning);
    }
}

void advice_markdown(Text *text)
{
    add_rules(text);
    add_tests(text);
}
