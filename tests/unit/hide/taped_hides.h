// Hides as one would tape them, in mm. Derived test data, not measurements:
//
// mean_half_outline  the 61 points of the mean half outline of six upholstery hides, in
//                    backbone lengths (x up the backbone, y out), butt to neck. From
//                    statistics (means and modes) of the open outlines published with
//                    Baldacci, Boschetti, Ganovelli and Maniezzo, "Algorithms for nesting
//                    with defects", Discrete Applied Mathematics 163 (2014) 17-33.
// taped_hides        twelve random hides drawn from the same statistics, taped every 150 mm
//                    up the backbone on both halves, with more stations round the hind legs
//                    and at the neck corners; values to 5 mm.
#pragma once

#include "hide/hide.h"

static const Point mean_half_outline[61] = {
    {-0.00033, 0.00000}, {-0.00547, 0.04072}, {-0.02020, 0.07823}, {-0.04289, 0.11198},
    {-0.06341, 0.14332}, {-0.07793, 0.17856}, {-0.08226, 0.21819}, {-0.07818, 0.25764},
    {-0.06756, 0.29425}, {-0.05671, 0.33008}, {-0.04698, 0.36946}, {-0.04382, 0.41014},
    {-0.04684, 0.45010}, {-0.04673, 0.48559}, {-0.04593, 0.52263}, {-0.04080, 0.55922},
    {-0.03407, 0.59728}, {0.00513, 0.60465},  {0.03850, 0.59977},  {0.06669, 0.57338},
    {0.09791, 0.54838},  {0.13396, 0.53088},  {0.17069, 0.52176},  {0.20864, 0.51713},
    {0.24740, 0.50975},  {0.28614, 0.49845},  {0.32544, 0.49054},  {0.36457, 0.48759},
    {0.40505, 0.48962},  {0.44556, 0.48859},  {0.48544, 0.49043},  {0.52564, 0.49477},
    {0.56168, 0.50463},  {0.59259, 0.51972},  {0.62475, 0.54326},  {0.65840, 0.56760},
    {0.69588, 0.58265},  {0.70476, 0.55404},  {0.69997, 0.52234},  {0.70484, 0.49600},
    {0.72455, 0.47839},  {0.74921, 0.46596},  {0.76803, 0.45105},  {0.79012, 0.43364},
    {0.81049, 0.41285},  {0.83209, 0.39527},  {0.86162, 0.38799},  {0.88505, 0.37971},
    {0.90399, 0.36078},  {0.92161, 0.33840},  {0.94629, 0.32504},  {0.97552, 0.31746},
    {1.00349, 0.30376},  {0.99610, 0.26641},  {0.98957, 0.22790},  {0.99099, 0.18924},
    {0.99927, 0.15421},  {1.00142, 0.11886},  {1.00028, 0.07997},  {1.00028, 0.03986},
    {0.99988, 0.00000}};

static const Station taped_drawn01[] = {
    {0, 0, 0, true, true},          {-85, 240, 0, true, false},     {-265, 415, 0, true, false},
    {-250, 495, 0, true, false},    {-135, 565, 0, true, false},    {-60, 810, 0, true, false},
    {-55, 1035, 0, true, false},    {-195, 1220, 0, true, false},   {-145, 1315, 0, true, false},
    {-90, 1295, 0, true, false},    {-110, 1410, 0, true, false},   {-225, 0, 495, false, true},
    {-125, 0, 620, false, true},    {-130, 0, 755, false, true},    {-40, 0, 920, false, true},
    {-70, 0, 1155, false, true},    {20, 0, 1275, false, true},     {150, 1215, 1310, true, true},
    {300, 1165, 1140, true, true},  {450, 1060, 1065, true, true},  {600, 1020, 1055, true, true},
    {750, 990, 1030, true, true},   {900, 945, 1015, true, true},   {1050, 1030, 1040, true, true},
    {1200, 1160, 1035, true, true}, {1350, 1260, 1200, true, true}, {1500, 995, 1355, true, true},
    {1650, 925, 920, true, true},   {1800, 775, 880, true, true},   {1950, 660, 820, true, true},
    {2100, 685, 720, true, true},   {2185, 635, 0, true, false},    {2105, 0, 715, false, true},
    {2140, 0, 0, true, true},
};
static const Station taped_drawn02[] = {
    {0, 0, 0, true, true},          {-80, 185, 0, true, false},     {-220, 300, 0, true, false},
    {-165, 420, 0, true, false},    {-195, 590, 0, true, false},    {-60, 810, 0, true, false},
    {-60, 975, 0, true, false},     {-170, 1200, 0, true, false},   {-45, 1415, 0, true, false},
    {-35, 0, 175, false, true},     {-240, 0, 400, false, true},    {-270, 0, 535, false, true},
    {-95, 0, 885, false, true},     {-185, 0, 1290, false, true},   {-150, 0, 1385, false, true},
    {150, 1250, 1235, true, true},  {300, 1200, 1135, true, true},  {450, 1105, 1130, true, true},
    {600, 1090, 1115, true, true},  {750, 1070, 1115, true, true},  {900, 1070, 1130, true, true},
    {1050, 1005, 1075, true, true}, {1200, 1075, 1180, true, true}, {1350, 1245, 1275, true, true},
    {1500, 1170, 1025, true, true}, {1650, 845, 965, true, true},   {1800, 775, 740, true, true},
    {1950, 745, 715, true, true},   {2100, 630, 615, true, true},   {2185, 595, 0, true, false},
    {2185, 0, 585, false, true},    {2190, 0, 0, true, true},
};
static const Station taped_drawn03[] = {
    {0, 0, 0, true, true},          {-30, 190, 0, true, false},     {-145, 270, 0, true, false},
    {-255, 510, 0, true, false},    {-65, 820, 0, true, false},     {-55, 1100, 0, true, false},
    {40, 1280, 0, true, false},     {-5, 0, 235, false, true},      {-180, 0, 370, false, true},
    {-205, 0, 570, false, true},    {-15, 0, 815, false, true},     {-215, 0, 1245, false, true},
    {-85, 0, 1400, false, true},    {150, 1195, 1240, true, true},  {300, 1175, 1195, true, true},
    {450, 1120, 1110, true, true},  {600, 1075, 1055, true, true},  {750, 995, 1040, true, true},
    {900, 1035, 1005, true, true},  {1050, 1065, 1030, true, true}, {1200, 1065, 1060, true, true},
    {1350, 1295, 1100, true, true}, {1500, 1430, 1235, true, true}, {1650, 875, 1035, true, true},
    {1800, 750, 1015, true, true},  {1950, 705, 940, true, true},   {2010, 700, 0, true, false},
    {2040, 0, 910, false, true},    {2045, 0, 0, true, true},
};
static const Station taped_drawn04[] = {
    {0, 0, 0, true, true},          {-50, 205, 0, true, false},     {-250, 370, 0, true, false},
    {-330, 560, 0, true, false},    {-195, 790, 0, true, false},    {-235, 1005, 0, true, false},
    {-165, 1140, 0, true, false},   {-190, 1300, 0, true, false},   {-220, 0, 430, false, true},
    {-200, 0, 755, false, true},    {-135, 0, 860, false, true},    {-180, 0, 1225, false, true},
    {-115, 0, 1335, false, true},   {150, 1225, 1255, true, true},  {300, 1125, 1140, true, true},
    {450, 1115, 1110, true, true},  {600, 995, 1015, true, true},   {750, 975, 900, true, true},
    {900, 1005, 935, true, true},   {1050, 1030, 900, true, true},  {1200, 1105, 970, true, true},
    {1350, 1060, 1095, true, true}, {1500, 1230, 1165, true, true}, {1650, 980, 1260, true, true},
    {1800, 835, 920, true, true},   {1950, 845, 790, true, true},   {2100, 880, 795, true, true},
    {2250, 715, 710, true, true},   {2365, 700, 0, true, false},    {2325, 0, 685, false, true},
    {2330, 0, 0, true, true},
};
static const Station taped_drawn05[] = {
    {0, 0, 0, true, true},          {25, 95, 0, true, false},       {-230, 285, 0, true, false},
    {-245, 360, 0, true, false},    {-125, 510, 0, true, false},    {-50, 1235, 0, true, false},
    {-35, 0, 150, false, true},     {-195, 0, 320, false, true},    {-225, 0, 445, false, true},
    {-35, 0, 805, false, true},     {-120, 0, 1190, false, true},   {-75, 0, 1275, false, true},
    {150, 1190, 1330, true, true},  {300, 1190, 1090, true, true},  {450, 1165, 1065, true, true},
    {600, 1135, 1095, true, true},  {750, 1110, 1090, true, true},  {900, 1025, 1070, true, true},
    {1050, 1045, 1060, true, true}, {1200, 1020, 1165, true, true}, {1350, 1035, 1125, true, true},
    {1500, 1090, 1110, true, true}, {1650, 1055, 910, true, true},  {1800, 775, 875, true, true},
    {1950, 740, 680, true, true},   {2100, 700, 545, true, true},   {2155, 690, 0, true, false},
    {2245, 0, 370, false, true},    {2255, 0, 0, true, true},
};
static const Station taped_drawn06[] = {
    {0, 0, 0, true, true},          {-65, 300, 0, true, false},     {-220, 385, 0, true, false},
    {-90, 605, 0, true, false},     {-160, 710, 0, true, false},    {-70, 930, 0, true, false},
    {-180, 1010, 0, true, false},   {-180, 1140, 0, true, false},   {-125, 1375, 0, true, false},
    {-25, 0, 190, false, true},     {-285, 0, 475, false, true},    {-105, 0, 750, false, true},
    {-215, 0, 1280, false, true},   {150, 1205, 1205, true, true},  {300, 1110, 1135, true, true},
    {450, 1155, 1195, true, true},  {600, 1055, 1120, true, true},  {750, 1065, 1125, true, true},
    {900, 1075, 1085, true, true},  {1050, 1060, 1050, true, true}, {1200, 1145, 1140, true, true},
    {1350, 1165, 1360, true, true}, {1500, 1240, 1300, true, true}, {1650, 1360, 1135, true, true},
    {1800, 1045, 820, true, true},  {1950, 995, 600, true, true},   {2090, 1030, 0, true, false},
    {2145, 0, 460, false, true},    {2115, 0, 0, true, true},
};
static const Station taped_drawn07[] = {
    {0, 0, 0, true, true},          {-250, 545, 0, true, false},    {-135, 740, 0, true, false},
    {-115, 945, 0, true, false},    {-215, 1280, 0, true, false},   {-195, 1370, 0, true, false},
    {-195, 0, 335, false, true},    {-185, 0, 560, false, true},    {-50, 0, 980, false, true},
    {-135, 0, 1175, false, true},   {-35, 0, 1310, false, true},    {150, 1235, 1150, true, true},
    {300, 1090, 1140, true, true},  {450, 1045, 1130, true, true},  {600, 1020, 1065, true, true},
    {750, 1065, 1045, true, true},  {900, 1040, 1040, true, true},  {1050, 1065, 1065, true, true},
    {1200, 1235, 1135, true, true}, {1350, 1290, 1335, true, true}, {1500, 975, 1225, true, true},
    {1650, 1100, 970, true, true},  {1800, 890, 930, true, true},   {1950, 780, 780, true, true},
    {2205, 640, 0, true, false},    {2105, 0, 755, false, true},    {2110, 0, 0, true, true},
};
static const Station taped_drawn08[] = {
    {0, 0, 0, true, true},          {-155, 565, 0, true, false},    {-35, 840, 0, true, false},
    {-60, 1160, 0, true, false},    {-60, 0, 320, false, true},     {-150, 0, 520, false, true},
    {-40, 0, 965, false, true},     {-110, 0, 1160, false, true},   {-20, 0, 1315, false, true},
    {150, 1295, 1235, true, true},  {300, 1090, 1160, true, true},  {450, 1125, 1205, true, true},
    {600, 1130, 1135, true, true},  {750, 1080, 1115, true, true},  {900, 1080, 1060, true, true},
    {1050, 1095, 1060, true, true}, {1200, 1125, 1100, true, true}, {1350, 1105, 1135, true, true},
    {1500, 1170, 1215, true, true}, {1650, 1285, 1030, true, true}, {1800, 1025, 895, true, true},
    {1950, 880, 870, true, true},   {2100, 810, 735, true, true},   {2135, 795, 0, true, false},
    {2165, 0, 700, false, true},    {2135, 0, 0, true, true},
};
static const Station taped_drawn09[] = {
    {0, 0, 0, true, true},          {35, 75, 0, true, false},      {-145, 220, 0, true, false},
    {-220, 595, 0, true, false},    {-130, 810, 0, true, false},   {-145, 925, 0, true, false},
    {20, 1180, 0, true, false},     {10, 1330, 0, true, false},    {-155, 0, 605, false, true},
    {-90, 0, 705, false, true},     {-55, 0, 1250, false, true},   {150, 1295, 1205, true, true},
    {300, 1130, 1035, true, true},  {450, 1090, 1060, true, true}, {600, 995, 1010, true, true},
    {750, 940, 1020, true, true},   {900, 860, 1025, true, true},  {1050, 1000, 1075, true, true},
    {1200, 1010, 1210, true, true}, {1350, 1040, 985, true, true}, {1500, 1120, 900, true, true},
    {1650, 1215, 810, true, true},  {1800, 830, 765, true, true},  {1950, 700, 625, true, true},
    {2240, 640, 0, true, false},    {2160, 0, 585, false, true},   {2120, 0, 0, true, true},
};
static const Station taped_drawn10[] = {
    {0, 0, 0, true, true},          {-15, 165, 0, true, false},     {-115, 300, 0, true, false},
    {-95, 580, 0, true, false},     {-20, 690, 0, true, false},     {90, 705, 0, true, false},
    {-30, 820, 0, true, false},     {20, 1000, 0, true, false},     {-70, 1180, 0, true, false},
    {5, 1320, 0, true, false},      {-30, 0, 130, false, true},     {-210, 0, 395, false, true},
    {-200, 0, 540, false, true},    {-15, 0, 815, false, true},     {-50, 0, 970, false, true},
    {25, 0, 1120, false, true},     {15, 0, 1265, false, true},     {150, 1290, 1305, true, true},
    {300, 1095, 1195, true, true},  {450, 1135, 1100, true, true},  {600, 1160, 1090, true, true},
    {750, 1090, 1085, true, true},  {900, 1095, 1055, true, true},  {1050, 1035, 1085, true, true},
    {1200, 1110, 1040, true, true}, {1350, 1170, 1195, true, true}, {1500, 1355, 1315, true, true},
    {1650, 1060, 1015, true, true}, {1800, 855, 875, true, true},   {1950, 770, 780, true, true},
    {2100, 700, 830, true, true},   {2250, 675, 665, true, true},   {2280, 650, 0, true, false},
    {2300, 0, 620, false, true},    {2295, 0, 0, true, true},
};
static const Station taped_drawn11[] = {
    {0, 0, 0, true, true},          {-220, 535, 0, true, false},    {-20, 820, 0, true, false},
    {-155, 1215, 0, true, false},   {-55, 1410, 0, true, false},    {-115, 0, 355, false, true},
    {-210, 0, 435, false, true},    {-40, 0, 840, false, true},     {-125, 0, 1205, false, true},
    {-75, 0, 1305, false, true},    {150, 1330, 1295, true, true},  {300, 1190, 1215, true, true},
    {450, 1145, 1160, true, true},  {600, 1100, 1140, true, true},  {750, 1115, 1130, true, true},
    {900, 1095, 1100, true, true},  {1050, 1050, 1135, true, true}, {1200, 1030, 1245, true, true},
    {1350, 1275, 1350, true, true}, {1500, 1325, 1080, true, true}, {1650, 970, 900, true, true},
    {1800, 795, 830, true, true},   {1950, 720, 755, true, true},   {2030, 675, 0, true, false},
    {2120, 0, 0, true, true},
};
static const Station taped_drawn12[] = {
    {0, 0, 0, true, true},         {-25, 155, 0, true, false},     {-105, 265, 0, true, false},
    {-160, 705, 0, true, false},   {-90, 805, 0, true, false},     {-160, 1055, 0, true, false},
    {-25, 1280, 0, true, false},   {-10, 0, 90, false, true},      {-125, 0, 275, false, true},
    {-230, 0, 315, false, true},   {-105, 0, 935, false, true},    {-225, 0, 1170, false, true},
    {-140, 0, 1250, false, true},  {-140, 0, 1350, false, true},   {150, 1270, 1245, true, true},
    {300, 1140, 1190, true, true}, {450, 1050, 1140, true, true},  {600, 1015, 1010, true, true},
    {750, 1020, 935, true, true},  {900, 1095, 995, true, true},   {1050, 1100, 900, true, true},
    {1200, 1060, 885, true, true}, {1350, 1190, 1010, true, true}, {1500, 885, 940, true, true},
    {1650, 875, 825, true, true},  {1800, 815, 940, true, true},   {1950, 590, 935, true, true},
    {2100, 515, 785, true, true},  {2115, 505, 0, true, false},    {2165, 0, 775, false, true},
    {2155, 0, 0, true, true},
};

typedef struct TapedHide {
    const char *name;
    const Station *stations;
    int count;
    double area_mm2; ///< of the outline that was taped, slits and all
} TapedHide;

static const TapedHide taped_hides[] = {
    {"drawn01", taped_drawn01, 34, 4652308}, {"drawn02", taped_drawn02, 32, 4875020},
    {"drawn03", taped_drawn03, 29, 4626278}, {"drawn04", taped_drawn04, 31, 5128036},
    {"drawn05", taped_drawn05, 29, 4782808}, {"drawn06", taped_drawn06, 29, 4948791},
    {"drawn07", taped_drawn07, 27, 4848340}, {"drawn08", taped_drawn08, 26, 4853820},
    {"drawn09", taped_drawn09, 27, 4476028}, {"drawn10", taped_drawn10, 35, 4952108},
    {"drawn11", taped_drawn11, 25, 4681887}, {"drawn12", taped_drawn12, 31, 4611370},
};

enum { TAPED_HIDE_COUNT = 12 };
