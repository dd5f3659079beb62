#pragma once
/// @file
/// Every published number libdrag uses, once: value, uncertainty, unit, validity, citation and how it
/// was verified. Formulas read the table at compile time, `dragcalc sources` and Python list the same
/// rows. Tables of many numbers (body regressions,
/// segment data) are CSV files in `libdrag/data/`, each with its source line, embedded at build time.

#include <array>
#include <cstddef>
#include <iterator>
#include <string>
#include <string_view>
#include <vector>

#include <libdrag/error.hpp>

namespace libdrag {

/// How a number was verified.
enum class Verified {
    read,            ///< the figure was read in the source's text or abstract, or a faithful copy of it
    memory,          ///< recalled, source not opened: never the only support of a tight check
    computed,        ///< computed here from formulas that are cited
    derived,         ///< arithmetic on figures that were read
    definition,      ///< exact by definition or by rule
    common_practice, ///< a fact of the trade without a source
    assumption       ///< ours, with a wide uncertainty, where nothing published was found
};
std::string_view to_string(Verified how);

struct Reference {
    std::string_view key, text;
};

struct Source {
    std::string_view key;
    double value;
    double sd; ///< standard uncertainty or between-subject SD, 0 where none is given
    std::string_view unit;
    std::string_view validity;  ///< conditions the number belongs to
    std::string_view reference; ///< key into `references`
    Verified verified;
    std::string_view note;
};

inline constexpr std::array references{
    Reference{"alves1999", "Alves, Cunha, Gomes-Pereira 1999, Biomechanics and Medicine in Swimming VIII"},
    Reference{"alves2024", "Alves et al. 2024, J Biomech 177:112390, doi 10.1016/j.jbiomech.2024.112390"},
    Reference{"ansur2", "2012 US Army Anthropometric Survey (ANSUR II), NATICK/TR-15/007, public domain"},
    Reference{"barbosa2015", "Barbosa et al. 2015, PLoS ONE (PMC4514895)"},
    Reference{"bixler2007", "Bixler, Pease, Fairhurst 2007, Sports Biomech 6:81-98"},
    Reference{"blasius1908", "Blasius 1908, Z Math Phys 56:1-37 (laminar flat plate)"},
    Reference{"breast1998", "J Sports Sci 1998;16:653-665, doi 10.1080/026404198366461 (flat and undulating "
                            "breaststroke, 45 swimmers)"},
    Reference{"caspersen2010", "Caspersen et al. 2010, J Biomech 43:2369-2373"},
    Reference{"chatard1998", "Chatard, Chollet, Millet 1998, Med Sci Sports Exerc 30:1276-1280"},
    Reference{"clarys1979", "Clarys 1979, as quoted in Morais et al. 2011, J Hum Kinet 28:5-13"},
    Reference{"coloretti2025", "Coloretti et al. 2025, J Strength Cond Res 39(5):e701-e705"},
    Reference{"cortesi2015", "Cortesi & Gatta 2015, J Hum Kinet 49:37-45, doi 10.1515/hukin-2015-0106"},
    Reference{"cortesi2019", "Cortesi, Di Michele, Gatta 2019, J Strength Cond Res 33:531-537"},
    Reference{
        "cortesi2024",
        "Cortesi, Gatta, Carmigniani, Zamparo 2024, J Sports Sci Med 23:17-24, doi 10.52082/jssm.2024.17"},
    Reference{"craig1979", "Craig & Pendergast 1979, Med Sci Sports 11:278-283"},
    Reference{"dshs_snorkel",
              "Influence of a new developed swim snorkel: an intervention study, German Sport "
              "University Cologne, fis.dshs-koeln.de (18 sport students, 18 sessions)"},
    Reference{"dubois1916", "Du Bois & Du Bois 1916 (body surface from stature and mass)"},
    Reference{"ecsc1993", "Quanjer et al. 1993, ECSC lung volumes, Eur Respir J 6 Suppl 16:5-40"},
    Reference{"faux2019", "Faux & Godolphin 2019, Am J Phys 87(2):110 (manual timing, 4304 reaction times at "
                          "swimming competitions)"},
    Reference{"formosa", "Formosa, Sayers, Burkett, Int J Sports Med (breathing and net drag force in front "
                         "crawl, assisted tow, n = 20)"},
    Reference{"gatta2015", "Gatta et al. 2015, Hum Mov Sci 39:41-54"},
    Reference{"gatta2016", "Gatta, Cortesi, Zamparo 2016, PLoS ONE 11(9):e0162387"},
    Reference{"gehan1970", "Gehan & George 1970 (body surface from stature and mass)"},
    Reference{"gonjo2020", "Gonjo, Narita, McCabe et al. 2020, Front Bioeng Biotechnol 8:570657, doi "
                           "10.3389/fbioe.2020.570657"},
    Reference{"gonjo2022", "Gonjo & Olstad 2022, Sci Rep 12:13085, doi 10.1038/s41598-022-17415-5"},
    Reference{"handbook_data", "Aeronautical Engineer's Data Book, drag coefficients, p. 95, fig. 5.13"},
    Reference{"haskins2024", "Haskins et al. 2024, Eur J Comput Mech (passive drag by tow test)"},
    Reference{"head_turn_text", "coaching text on breathing in front crawl, translated, "
                                "thebuckshee.com 2017 (no measurements described)"},
    Reference{"hoerner1965", "Hoerner 1965, Fluid-Dynamic Drag"},
    Reference{"hughes1954", "Hughes 1954, Trans RINA 96 (friction line)"},
    Reference{"iapws_sr6", "IAPWS SR6-08(2011), liquid water at 0.1 MPa"},
    Reference{"ittc1957", "ITTC 1957 model-ship correlation line"},
    Reference{"jorgensen1977", "Jorgensen 1977, NASA TR R-474; Allen & Perkins 1951, NACA TR-1048"},
    Reference{"libdrag", "libdrag: an assumption of this library, stated with its uncertainty"},
    Reference{"lyttle1998", "Lyttle, Blanksby, Elliott, Lloyd 1998, J Swimming Research 13:15-22"},
    Reference{"matsuda2014",
              "Matsuda et al. 2014, J Hum Kinet 44 (centre of mass); Schnitzler et al. 2010, Int J Sports "
              "Med, Hip velocity and arm coordination in front crawl swimming (hip)"},
    Reference{"mccabe2015",
              "McCabe, Sanders, Psycharakis 2015, J Biomech (breathing and front crawl sprinting)"},
    Reference{"mclean1998", "McLean & Hinrichs 1998, J Sports Sci 16:373-383"},
    Reference{"mollendorf2004", "Mollendorf et al. 2004, Med Sci Sports Exerc 36:1029-1035, doi "
                                "10.1249/01.MSS.0000128179.02306.57, as quoted by Gatta et al. 2013"},
    Reference{"morais2011", "Morais et al. 2011, J Hum Kinet 28:5-13"},
    Reference{"morais2020", "Morais et al. 2020, Med Sci Sports Exerc, doi 10.1249/MSS.0000000000002400"},
    Reference{"narita2017",
              "Narita, Nakashima, Takagi 2017, J Biomech 54:123-128, doi 10.1016/j.jbiomech.2017.01.037"},
    Reference{"narita2018", "Narita et al. 2018, J Biomech 76:197-203, doi 10.1016/j.jbiomech.2018.05.027"},
    Reference{"narita2018pads",
              "Narita, Ogita, Nakashima, Takagi 2018, Proceedings 2(6):287, doi 10.3390/proceedings2060287"},
    Reference{"neumann_kelvin",
              "Neumann-Kelvin panel results for a submerged spheroid, a/b = 6, axis depth 0.125 L (open data "
              "of NeumannKelvin.jl, compared there with Farell 1973 and Baar)"},
    Reference{"novais2009", "Novais et al. 2009, ACSM 56th annual meeting, no. 2558"},
    Reference{"passmore2002", "Passmore & Rickers 2002, Sports Eng 5:173-182"},
    Reference{"pedersen2006", "Pedersen & Kjendlie 2006, Port J Sport Sci 6(S2):75-77"},
    Reference{"pla2021", "Pla et al. 2021, Front Physiol 12:712652"},
    Reference{
        "prandtl1932",
        "Prandtl-Schlichting turbulent flat plate, with transition term, Schlichting, Boundary-Layer Theory"},
    Reference{"records", "world records of swimming, long course, as results lists carry them"},
    Reference{"ribeiro2011", "Ribeiro et al. 2011, Med Sci Sports Exerc 43(5) abstract 2320"},
    Reference{"ribeiro2016", "Ribeiro et al. 2016, Int J Sports Med 37(4):324-328 (respiratory snorkel)"},
    Reference{"rules", "World Aquatics and collegiate rules of swimming"},
    Reference{"sacilotto",
              "Sacilotto, Mason, Ball, ISBS (intra-reliability of active drag by assisted towing), "
              "ojs.ub.uni-konstanz.de/cpa/article/view/5273"},
    Reference{"schoenherr1932", "Schoenherr 1932 mean friction line"},
    Reference{"second50_2023", "Front Sports Act Living 2023;5:1205800 (100 m crawl, n = 11)"},
    Reference{"sharqawy2010", "Sharqawy, Lienhard, Zubair 2010, Desalination Water Treat 16:354-380"},
    Reference{"shortcourse2013", "SpringerPlus 2013;2:643 (short against long course freestyle)"},
    Reference{"siri1961", "Siri 1961, body composition from fluid spaces and density"},
    Reference{"tanaka2001", "Tanaka et al. 2001, Metrologia 38:301-309 (density of water)"},
    Reference{"teos10", "IOC, SCOR, IAPSO 2010, TEOS-10 manual (reference composition seawater)"},
    Reference{"tor2015", "Tor, Pease, Ball 2015, J Appl Biomech 31(1):8-12, doi 10.1123/jab.2014-0081"},
    Reference{"toussaint1988", "Toussaint et al. 1988, J Biomech 21:435-438"},
    Reference{"toussaint1989",
              "Toussaint et al. 1989, Med Sci Sports Exerc 21(3):325-328 (triathlon wet suit)"},
    Reference{"toussaint1990", "Toussaint 1990, Med Sci Sports Exerc 22:409-415"},
    Reference{"toussaint1990growth",
              "Toussaint, de Looze, van Rossem, Leijdekkers, Dignum 1990, Int J Sport Biomech 6:18-28"},
    Reference{"toussaint2002", "Toussaint, van Stralen, Stevens 2002, ISBS (wave drag in front crawl)"},
    Reference{"toussaint_perturbation", "J Hum Kinet 2023 (PMC10170550), velocity perturbation, youth"},
    Reference{"trade", "common practice among coaches and meet results"},
    Reference{"unesco1981", "UNESCO 1981, EOS-80, technical paper 36/44"},
    Reference{"vandervaart1987",
              "van der Vaart, Savelberg, de Groot, Hollander, Toussaint, van Ingen Schenau 1987, J "
              "Biomech 20:543-546"},
    Reference{"vennell2006", "Vennell, Pease, Wilson 2006, J Biomech 39:664-671"},
    Reference{"vilasboas2010", "Vilas-Boas et al. 2010, J Appl Biomech 26(3):324"},
    Reference{"washino2021", "Washino et al. 2021, J Biomech 121:110428, doi 10.1016/j.jbiomech.2021.110428"},
    Reference{"watanabe2014", "Watanabe, Wakayoshi, Nomura, Tachi 2014, Sport Mont XII(40-42):98-104"},
    Reference{"webb2014", "Webb, Taunton, Hudson, Forrester, Turnock 2014, Proc IMechE P, doi "
                          "10.1177/1754337114562875"},
    Reference{"zamparo2009", "Zamparo, Gatta, Pendergast, Capelli 2009, Eur J Appl Physiol 106:195-205, doi "
                             "10.1007/s00421-009-1007-8"},
    Reference{"zamparo2010", "Zamparo & Falco 2010, Biomechanics and Medicine in Swimming XI, Oslo"},
};

// No std::array: its length would be deduced by an expression deeper than clang takes.
inline constexpr Source sources[] = {
    // clang-format off
    // --- added_mass --------------------------------------------------------------------------------
    Source{"added_mass.boys", 0.268, 0.023, "1", "gliding under water, share of body mass", "caspersen2010", Verified::memory, "girls were not measured"},
    Source{"added_mass.men", 0.268, 0.029, "1", "gliding under water, share of body mass", "caspersen2010", Verified::memory, "between-swimmer SD; a smooth spheroid of the same fineness has 0.03 to 0.06 (Lamb)"},
    Source{"added_mass.women", 0.236, 0.016, "1", "gliding under water, share of body mass", "caspersen2010", Verified::memory, ""},
    // --- aids --------------------------------------------------------------------------------------
    Source{"aids.belt.density", 11340, 0, "kg/m3", "lead", "trade", Verified::common_practice, "what a belt displaces takes 9 % off its weight"},
    Source{"aids.belt.most", 0.1, 0, "1", "worn weight, share of body mass", "libdrag", Verified::assumption, "a limit set here for safety, no recommendation: belts of 1 to 3 kg are common practice for adults, none for children"},
    Source{"aids.bowl.cd", 1.42, 0.05, "1", "hollow hemisphere, open side to the flow, frontal area", "handbook_data", Verified::read, "1.40 in NACA TR-513; a rigid bowl keeps its shape, no towed one was measured"},
    Source{"aids.buoy.at", 0.3, 0.1, "1", "of the way from crotch to knee", "libdrag", Verified::assumption, "a pull buoy held between the thighs"},
    Source{"aids.buoy.density", 35, 15, "kg/m3", "closed-cell foam", "trade", Verified::common_practice, ""},
    Source{"aids.drogue.cd", 0.75, 0.2, "1", "cloth cone open at both ends, frontal area", "cortesi2019", Verified::derived, "0.1 N at 1.0 m/s and 10.8 N at 2.2 m/s less on 380 cm2 than a flat parachute of 400 cm2: 0.81 and 0.70 if that is the 15.4 kg/m of Coloretti 2025; a rigid hemisphere without bottom has 1.33"},
    Source{"aids.drogue.wake", 1.15, 0.15, "1", "towed behind a swimmer who strokes, over towed alone", "coloretti2025", Verified::read, "parachutes; taken for drogue and bowl as well. The SD is ours. Behind a passive swimmer 0.79"},
    Source{"aids.parachute.cd", 0.839, 0.04, "1", "towed alone, cloth of 900 cm2", "coloretti2025", Verified::derived, "15.4, 19.7, 37.2, 73.9 kg/m on 400, 529, 900, 1600 cm2 are Cd 0.77, 0.75, 0.83, 0.93; handbooks have 1.2 to 1.4 on the open mouth"},
    Source{"aids.parachute.cd_growth", 0.146, 0, "1", "towed alone, 400 to 1600 cm2", "coloretti2025", Verified::derived, "Cd goes with this power of the cloth's area: least squares through the same four, which leaves 4 %"},
    Source{"aids.parachute.reference", 0.09, 0, "m2", "cloth", "coloretti2025", Verified::read, "the size the drag coefficient is stated for"},
    Source{"aids.shorts.drag_area", 0.006, 0.003, "m2", "drag shorts, level swimmer", "libdrag", Verified::assumption, "no published newtons were found; a tenth of a crawl swimmer's own drag area"},
    Source{"aids.shorts.mass_in_water", 0.07, 0.05, "kg", "soaked cloth less the water it displaces", "libdrag", Verified::assumption, "a quarter of a kilogram of polyester"},
    Source{"aids.sleeve.at", 0.5, 0.1, "1", "of the way from crotch to knee", "libdrag", Verified::assumption, "buoyant sleeve or shorts round the thighs"},
    Source{"aids.sleeve.density", 250, 80, "kg/m3", "foamed rubber", "trade", Verified::common_practice, ""},
    Source{"aids.snorkel.drag_share", 0.010, 0.008, "1", "of the drag of a swimmer who strokes, 0.9 to 1.7 m/s", "ribeiro2016", Verified::derived, "with a respiratory snorkel, larger than a swim snorkel, 2.1, 1.7, 1.3, 0.8 and 0.2 % more, none of them significant: a little less, as wide as they scatter"},
    Source{"aids.snorkel.habit", 0, 0.01, "1", "of the time, in a maximal swim with a snorkel she knows", "libdrag", Verified::assumption, "only the SD is used: at half of it the ranges of swimmers whom a snorkel costs or gives 1 % hold in 91 of 100 (tests/coverage)"},
    // --- balance -----------------------------------------------------------------------------------
    Source{"balance.age", 25, 0, "year", "lung volumes", "libdrag", Verified::assumption, "default where no age is given"},
    Source{"balance.breath_lift", 0.06, 0.02, "m", "rise of the head in one breath", "libdrag", Verified::assumption, "so far from the rest position to the mouth clear of the water"},
    Source{"balance.buoyancy_ahead.men.1998", 0.79, 0.43, "cm", "collegiate men, n = 15", "mclean1998", Verified::read, "centre of buoyancy ahead of the centre of mass; the gap to 2014 is the spread of the still moment"},
    Source{"balance.buoyancy_ahead.men.2014", 1.93, 0.21, "cm", "junior elite men under water, arms overhead, neutral lungs, n = 14", "watanabe2014", Verified::read, "with full lungs 2.28 +- 0.44"},
    Source{"balance.buoyancy_ahead.women.1998", 0.16, 0.34, "cm", "collegiate women, n = 16", "mclean1998", Verified::read, ""},
    Source{"balance.buoyancy_ahead.women.2014", 1.36, 0.17, "cm", "junior elite women under water, arms overhead, neutral lungs, n = 22", "watanabe2014", Verified::read, "with full lungs 2.01 +- 0.35"},
    Source{"balance.damping_ratio", 0.5, 0.2, "1", "pitch of a swimming body", "libdrag", Verified::assumption, "no published decay of a swimmer's pitch was found"},
    Source{"balance.fat.men", 12, 4, "%", "swimmers", "libdrag", Verified::assumption, "competitive men 8 to 14, recreational more"},
    Source{"balance.fat.women", 20, 5, "%", "swimmers", "libdrag", Verified::assumption, "competitive women 16 to 22, recreational more"},
    Source{"balance.gut_gas", 0.1, 0.05, "L", "gas in the gut", "libdrag", Verified::assumption, "the usual allowance in underwater weighing"},
    Source{"balance.head_lift.moment", 1.0, 0.3, "1", "over the head's weight times its distance to the centre of buoyancy", "libdrag", Verified::assumption, "the size of the moment is calibrated, not its cause: lost buoyancy of the head alone would lift the legs"},
    Source{"balance.head_out.incline_rise", 0.32, 0.12, "1", "head held out against normal crawl, 21 water-polo girls of 12 and 16 years", "zamparo2010", Verified::read, "calibration row of the pitch stiffness; the SD is ours, wide because girls who play water polo stand for all swimmers"},
    Source{"balance.leg_density_excess", 0.0, 0.02, "1", "tissue of the legs over that of the whole body", "libdrag", Verified::assumption, "only the SD is used: tissue is taken as of one density; parts of cadavers ran from 1.03 to 1.10 kg/L"},
    Source{"balance.lungs.men.frc.age", 0.009, 0, "L/year", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.men.frc.offset", -1.09, 0, "L", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.men.frc.stature", 2.34, 0, "L/m", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.men.rv.age", 0.022, 0, "L/year", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.men.rv.offset", -1.23, 0.41, "L", "18 to 70 years", "ecsc1993", Verified::read, "SD: published lower limit of normal over 1.645"},
    Source{"balance.lungs.men.rv.stature", 1.31, 0, "L/m", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.men.tlc.offset", -7.08, 0.7, "L", "18 to 70 years", "ecsc1993", Verified::read, "SD: published lower limit of normal over 1.645"},
    Source{"balance.lungs.men.tlc.stature", 7.99, 0, "L/m", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.women.frc.age", 0.001, 0, "L/year", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.women.frc.offset", -1.0, 0, "L", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.women.frc.stature", 2.24, 0, "L/m", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.women.rv.age", 0.016, 0, "L/year", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.women.rv.offset", -2.0, 0.35, "L", "18 to 70 years", "ecsc1993", Verified::read, "SD: published lower limit of normal over 1.645"},
    Source{"balance.lungs.women.rv.stature", 1.81, 0, "L/m", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs.women.tlc.offset", -5.79, 0.6, "L", "18 to 70 years", "ecsc1993", Verified::read, "SD: published lower limit of normal over 1.645"},
    Source{"balance.lungs.women.tlc.stature", 6.6, 0, "L/m", "18 to 70 years", "ecsc1993", Verified::read, ""},
    Source{"balance.lungs_below_xiphoid", 0.25, 0.15, "1", "of the middle trunk, xiphoid to navel", "libdrag", Verified::assumption, "how far the lungs' gas reaches below the xiphoid"},
    Source{"balance.lungs_stated", 0.0, 0.2, "L", "a lung volume the swimmer states", "libdrag", Verified::assumption, "only the SD is used"},
    Source{"balance.siri.numerator", 495, 0, "%", "fat % = 495/D - 450, D in kg/L", "siri1961", Verified::memory, ""},
    Source{"balance.siri.offset", 450, 0, "%", "fat % = 495/D - 450, D in kg/L", "siri1961", Verified::memory, ""},
    Source{"balance.stroke_support", 0.0, 0.2, "m", "ahead of the shoulders, where the stroke carries weight", "libdrag", Verified::assumption, "the arms press down; nobody measured where"},
    Source{"balance.swimming_waterplane", 0.25, 0.12, "1", "of the planform area, swimming at the surface", "libdrag", Verified::assumption, "how much water plane a swimmer cuts, who is held up by the stroke: depth against added weight"},
    // --- body -------------------------------------------------------------------------------------
    Source{"body.assumed.mass", 68, 0, "kg", "adults of either sex", "libdrag", Verified::assumption, "where no body is given and none is needed"},
    Source{"body.assumed.stature", 1.72, 0, "m", "adults of either sex", "libdrag", Verified::assumption, "where no body is given and none is needed"},
    Source{"body.clarys.mass", 6.9256, 0, "cm2/kg", "adults", "clarys1979", Verified::read, "trunk cross-section seen from above; R2 0.50; not for children"},
    Source{"body.clarys.offset", -377.156, 0, "cm2", "adults", "clarys1979", Verified::read, ""},
    Source{"body.clarys.stature", 3.5043, 0, "cm2/cm", "adults", "clarys1979", Verified::read, ""},
    Source{"body.morais.men.depth", 17.019, 0, "cm", "men", "morais2011", Verified::memory, "times chest sagittal diameter in cm; R2 about 0.33"},
    Source{"body.morais.men.girth", 6.662, 0, "cm", "men", "morais2011", Verified::memory, "times chest perimeter in cm"},
    Source{"body.morais.men.offset", -210.708, 0, "cm2", "men", "morais2011", Verified::memory, ""},
    Source{"body.morais.women.depth", 15.382, 0, "cm", "women", "morais2011", Verified::memory, ""},
    Source{"body.morais.women.girth", 7.002, 0, "cm", "women", "morais2011", Verified::memory, ""},
    Source{"body.morais.women.offset", -255.70, 0, "cm2", "women", "morais2011", Verified::memory, ""},
    Source{"body.skin_simplified", 0.05, 0, "1", "relative SD of the wetted area", "libdrag", Verified::assumption, "a solid of ellipses has no fingers, ears or folds of skin"},
    // --- breath -----------------------------------------------------------------------------------
    Source{"breath.breast.drag_lower", 6, 0, "1", "of 15 swimmers, breath every second cycle against every cycle", "alves2024", Verified::read, "9 were lower with a breath every cycle; no pooled difference"},
    Source{"breath.breast.swimmers", 15, 0, "1", "same study", "alves2024", Verified::read, ""},
    Source{"breath.crawl.upper_drop", 8, 0, "deg", "peak of one crawl breath", "pedersen2006", Verified::derived, "a pulse of 8 deg in every cycle would explain the whole measured 1.7 % of speed: an upper bound"},
    Source{"breath.crawl.usual_drop", 2.5, 0.9, "deg", "peak of one crawl breath, good swimmers", "libdrag", Verified::assumption, "no published angle was found; 1 to 4 deg follows from a third of the incline of a head held out"},
    Source{"breath.every_cycle.speed_loss", 0.017, 0.008, "1", "crawl, 25 m sprint, n = 10", "pedersen2006", Verified::derived, "1.73 to 1.70 m/s, p < 0.05: all causes, propulsion included; the SD is ours"},
    Source{"breath.fly.trunk_change", 8.5, 0.5, "deg", "butterfly, less skilled women, breathing against not, 75 and 95 % effort", "alves1999", Verified::derived, "maximum trunk angle 32.1 to 24.1 and 33.5 to 24.6 deg; the penalty shrinks in the skilled"},
    Source{"breath.head.drag.arms_ahead", 0.119, 0.02, "1", "head up over head down, towed 0.60 m deep at 1.5 to 1.9 m/s, arms in front, 10 men", "cortesi2015", Verified::derived, "10.4 to 10.9 % of the head-up figure; the SD is ours"},
    Source{"breath.head.drag.arms_at_sides", 0.048, 0.015, "1", "same, arms at the sides", "cortesi2015", Verified::derived, "4 to 5.2 % of the head-up figure; the SD is ours"},
    Source{"breath.head.study_lift", 30, 7, "deg", "head up in that study, from the trunk line", "libdrag", Verified::assumption, "the abstract gives no angle"},
    Source{"breath.head.while_swimming", 0.75, 0.15, "1", "share of passive drag that a head adds, while swimming", "libdrag", Verified::assumption, "1 if the share stays, about 0.5 if the newtons stay while active drag is twice the passive of a level body"},
    Source{"breath.lost_propulsion", 0.009, 0.8, "1", "of the time, for one breath in each stroke cycle", "libdrag", Verified::assumption, "log-normal: median and SD of the logarithm; with the drag of the hips it makes the published total of 1.7 %; a light tail would let a large gap rule out what it should not"},
    Source{"breath.lost_propulsion.common_share", 0.5, 0, "1", "of the variance of its logarithm", "libdrag", Verified::assumption, "the part that is common to all swimmers, because the median itself is not known; read where a squad is pooled: in a sketch of squads of 20 (tests/coverage/common_share.py) ranges of the hips so pooled hold in 94 of 100 where half is common and in 95 where nothing is; with a quarter in 92 and 95, with nothing in 87 and 94"},
    Source{"breath.measured_drop.relative_sd", 0.25, 0, "1", "a hip drop read off a side view", "libdrag", Verified::assumption, "a stated hip drop is uncertain by its absolute SD, and never by more than this share of itself"},
    Source{"breath.measured_drop.sd", 1.0, 0, "deg", "a hip drop read off a side view", "libdrag", Verified::assumption, "2 pixels of slip on a shoulder-hip line of 120 pixels"},
    Source{"breath.measured_lift.relative_sd", 0.2, 0, "1", "a rise or angle of the head read off a side view", "libdrag", Verified::assumption, "a centimetre in five"},
    Source{"breath.pulse_width.breast", 0.50, 0.10, "cycle", "breaststroke", "libdrag", Verified::assumption, "share of the cycle the hips stay low for one breath; no published angle-time curve was found"},
    Source{"breath.pulse_width.crawl", 0.45, 0.10, "cycle", "crawl", "libdrag", Verified::assumption, "share of the cycle the hips stay low for one breath; no published angle-time curve was found"},
    Source{"breath.pulse_width.fly", 0.50, 0.10, "cycle", "butterfly", "libdrag", Verified::assumption, "share of the cycle the hips stay low for one breath; no published angle-time curve was found"},
    Source{"breath.roll.drag", 0.0, 0.01, "1", "of the drag, while one breath lasts", "libdrag", Verified::assumption, "only the SD is used: breathing adds 7 to 12 deg of roll to its side (Lopez-Contreras et al. 2022) and takes as much off the other; 10 deg change the silhouette by about 5 %, drag by less, and what one side gains the other loses"},
    Source{"breath.total.speed_loss_mccabe", 0.03, 0, "1", "crawl, 25 m sprint, n = 10 men", "mccabe2015", Verified::read, "centre of mass in the pull, breath against none: all causes"},
    Source{"breath.total.tow_men", 0.26, 0, "1", "net tow force, breath over none, assisted towing, men", "formosa", Verified::read, "drag and lost thrust, over the tow force and not over drag"},
    Source{"breath.total.tow_women", 0.16, 0, "1", "net tow force, breath over none, assisted towing, women", "formosa", Verified::read, ""},
    Source{"breath.within_stroke.breast", 1.26, 0.325, "1", "price of a breath by the full motion over the quasi-steady price", "libdrag", Verified::computed, "spread by when hips and drag are at their highest, which nobody has measured"},
    Source{"breath.within_stroke.crawl", 1.06, 0.065, "1", "price of a breath by the full motion over the quasi-steady price", "libdrag", Verified::computed, "spread by when in the stroke the hips are lowest"},
    Source{"breath.within_stroke.fly", 0.98, 0.198, "1", "price of a breath by the full motion over the quasi-steady price", "libdrag", Verified::computed, "spread by when hips and drag are at their highest, which nobody has measured"},
    // --- evidence ---------------------------------------------------------------------------------
    Source{"evidence.breath.other_causes", 0.0, 0.015, "1", "share of the speed lost to a breath in every cycle of crawl, beside the drag of the hips", "libdrag", Verified::assumption, "the thrust that a breath disturbs: studies of speed see both"},
    Source{"evidence.mannequin.waves", 0.0, 1.5, "1", "a rigid mannequin, added to ln of share/(1 - share)", "libdrag", Verified::assumption, "a body that does not yield makes other waves"},
    Source{"evidence.sample_size_of_body", 0.05, 0, "1", "relative SD of area and drag", "libdrag", Verified::assumption, "bodies of samples that were not described are taken as usual adults"},
    Source{"evidence.stroke_area", 1.0, 0.3, "1", "areas read off images of a stroke over the silhouette of the mid-stroke posture", "libdrag", Verified::assumption, "areas of two studies do not mean the same"},
    Source{"evidence.unknown_sample", 8, 0, "1", "swimmers", "libdrag", Verified::assumption, "size of a sample that a source does not state"},
    Source{"evidence.untrained.drag", 0.0, 0.2, "1", "the less skilled, added to ln of drag", "libdrag", Verified::assumption, "faster swimmers have a lower drag coefficient at one speed"},
    Source{"evidence.untrained.fluctuation", 0.0, 0.2, "1", "the less skilled, added to ln of the speed fluctuation", "libdrag", Verified::assumption, ""},
    // --- film --------------------------------------------------------------------------------------
    Source{"film.above_water.least", 0.19, 0, "1", "camera above water looking 10 to 60 deg down", "libdrag", Verified::computed, "tan r sin a, sin r = cos a / 1.333: share of a depth that shows through a flat surface"},
    Source{"film.above_water.most", 0.45, 0, "1", "camera above water looking 10 to 60 deg down", "libdrag", Verified::computed, "the same; highest near 45 deg"},
    Source{"film.breath_spread", 0.8, 0, "deg", "trunk incline from breath to breath of one swimmer", "libdrag", Verified::assumption, "SD; weighed with what the film itself shows"},
    Source{"film.breath_spread.weight", 12, 0, "1", "degrees of freedom that the usual spread counts for", "libdrag", Verified::assumption, ""},
    Source{"film.legs_spread", 5, 0, "deg", "legs below the trunk, from moment to moment of the kick", "libdrag", Verified::assumption, ""},
    Source{"film.off_square", 20, 0, "deg", "camera beside the lane, hand held", "libdrag", Verified::assumption, "at most so far from square, either way: 4 deg of drop then read 4.2"},
    Source{"film.roll.both_sides", 0.2, 0, "1", "share of the roll's error that the mean of both sides keeps", "libdrag", Verified::assumption, "a true 4.0 reads 3.9"},
    Source{"film.roll.drop", 0, 1.5, "deg", "near-side joints, one side filmed", "libdrag", Verified::assumption, "only the SD is used: shoulders rolled 50 to 60 deg and hips 35 to 38 in a breath change the reading by 1.2 deg; how far a swimmer rolls differs by as much"},
    Source{"film.roll.incline", 0, 4, "deg", "near-side joints, one side filmed, one moment of the stroke", "libdrag", Verified::assumption, "only the SD is used: the same shoulders and hips rolled 50 and 35 deg change the reading by 4.4 deg"},
    Source{"film.slip", 1.5, 0, "px", "a mark on a side view", "libdrag", Verified::assumption, "SD each way; on a line of 120 px 1 deg"},
    Source{"film.slip_share", 0.0125, 0, "1", "a mark on a side view, share of the shoulder-hip line", "libdrag", Verified::assumption, "the larger of the two: half a centimetre on the skin, however fine the picture"},
    Source{"film.tilt", 1, 0, "deg", "camera without a horizon in the picture", "libdrag", Verified::assumption, "SD"},
    Source{"film.tilt_between", 0.5, 0, "deg", "camera in the hand, from one stroke to the next", "libdrag", Verified::assumption, "SD; none where a horizon is marked"},
    // --- friction ---------------------------------------------------------------------------------
    Source{"friction.blasius.numerator", 1.328, 0, "1", "laminar, Re < 5e5", "blasius1908", Verified::memory, "C_F = 1.328 / sqrt(Re)"},
    Source{"friction.form.cubic", 7.0, 0, "1", "streamlined bodies of revolution, Re > 1e5", "hoerner1965", Verified::read, "1 + 1.5 (d/l)^1.5 + 7 (d/l)^3 on wetted area"},
    Source{"friction.form.threehalves", 1.5, 0, "1", "streamlined bodies of revolution, Re > 1e5", "hoerner1965", Verified::read, ""},
    Source{"friction.hughes.numerator", 0.067, 0, "1", "turbulent", "hughes1954", Verified::memory, "C_F = 0.067 / (log10 Re - 2)^2"},
    Source{"friction.ittc57.numerator", 0.075, 0, "1", "turbulent, Re 1e5 to 1e10", "ittc1957", Verified::read, "C_F = 0.075 / (log10 Re - 2)^2"},
    Source{"friction.prandtl.exponent", 2.58, 0, "1", "turbulent", "prandtl1932", Verified::read, "C_F = 0.455 / (log10 Re)^2.58 - A/Re"},
    Source{"friction.prandtl.numerator", 0.455, 0, "1", "turbulent", "prandtl1932", Verified::read, ""},
    Source{"friction.prandtl.transition", 1700, 0, "1", "transition at Re 5e5", "prandtl1932", Verified::memory, "A in the -A/Re term; clamped to the laminar line where it would fall below it"},
    Source{"friction.schoenherr.constant", 0.242, 0, "1", "turbulent", "schoenherr1932", Verified::memory, "0.242 / sqrt(C_F) = log10(Re C_F)"},
    // --- glide -------------------------------------------------------------------------------------
    Source{"glide.body_mass", 0.5, 0, "kg", "a body weighed the same day", "libdrag", Verified::assumption, "SD"},
    Source{"glide.discrepancy", 0.3, 0, "1", "tilt in a glide over tilt while swimming", "libdrag", Verified::assumption, "SD of the logarithm of the drag ratio, as a share of it: arms ahead and under water against stroking at the surface"},
    Source{"glide.held", 1.5, 0, "deg", "how much lower the hips are held than asked", "libdrag", Verified::assumption, "SD, unless filmed"},
    Source{"glide.repeat", 0.026, 0, "1", "k of one push-off glide to the next", "webb2014", Verified::derived, "SD: 1.8 % between two means of five glides is resolved at 70 % confidence, 1.108 standard errors of 8 degrees of freedom"},
    Source{"glide.scale", 0.01, 0, "1", "distances in one film", "libdrag", Verified::assumption, "SD of their common scale"},
    // --- loaded ------------------------------------------------------------------------------------
    Source{"loaded.load", 0.05, 0, "1", "a pull by weight, drum or scale", "libdrag", Verified::assumption, "SD of its mean over the swim, where none is stated"},
    Source{"loaded.resisted.typical_error", 0.044, 0, "1", "active drag, 25 m sprints against 37 to 60 N, two days, n = 16", "gonjo2022", Verified::read, "at most so much from day to day; with 16 N the test was not reliable"},
    Source{"loaded.swim_cv", 0.009, 0, "1", "one maximal swim to the next", "libdrag", Verified::assumption, "SD of the time; weighed with what the times show"},
    Source{"loaded.swim_cv.weight", 12, 0, "1", "degrees of freedom that the usual spread counts for", "libdrag", Verified::assumption, ""},
    Source{"loaded.towed.typical_error", 0.117, 0, "1", "active drag, towed at constant speed, n = 7", "sacilotto", Verified::read, "0.126 with the speed free to swing (a thesis by the same author)"},
    // --- posture ----------------------------------------------------------------------------------
    Source{"posture.incline.back", 10, 3.5, "deg", "race speed, nobody measured it for this swimmer", "libdrag", Verified::assumption, "as crawl, for want of better"},
    Source{"posture.incline.breast", 12, 5, "deg", "race speed, cycle mean", "libdrag", Verified::assumption, "between crawl and the less skilled butterfly figures; wide"},
    Source{"posture.incline.common_share", 0.5, 0, "1", "of the SD of a default incline", "libdrag", Verified::assumption, "the part that is common to all swimmers, because the mean itself is not known"},
    Source{"posture.incline.crawl", 10, 3.5, "deg", "race speed, nobody measured it for this swimmer", "libdrag", Verified::assumption, "0.13 m2 minimum projected area reads as about 10 deg, 0.20 m2 cycle mean as 17 (Gatta 2015), 0.24 m2 towed as 21 (Zamparo 2009); not associated with speed (Washino 2022)"},
    Source{"posture.incline.fly", 14, 5, "deg", "race speed, cycle mean", "libdrag", Verified::assumption, "maximum trunk angle 24 to 33 deg in the less skilled (Alves 1999); the mean is lower"},
    Source{"posture.incline.glide", 0, 2, "deg", "gliding under water, nobody measured it", "libdrag", Verified::assumption, "a streamlined glide is held level"},
    Source{"posture.incline.measured", 0, 1.5, "deg", "read off a side view", "libdrag", Verified::assumption, "only the SD is used: the error of the reading"},
    Source{"posture.incline.towed", 8, 3.5, "deg", "towed at the surface at 1.3 m/s, nobody measured it", "zamparo2009", Verified::derived, "the source has no degrees here: less than while stroking (effective area 0.24 against 0.40 m2). The size is ours: towing figures of drag ask for about 8 with the level drag coefficient free and for 12 (SD 2) with it held at 0.458"},
    Source{"posture.incline.towed_slope", -5, 2, "deg/(m/s)", "towed at the surface, down to level", "zamparo2009", Verified::derived, "the source says that it falls with speed from 0.6 to 1.4 m/s. The size is ours: what the towing exponent of 2.0 asks for (Narita 2017), -5.5 (SD 3.6) with the default tilt model, -3.6 (SD 2.2) with cross-flow"},
    Source{"posture.incline.towed_speed", 1.3, 0, "m/s", "towed at the surface", "narita2017", Verified::derived, "about the middle of the speeds of those tows, 0.9 to 1.5 m/s: where the incline of a towed body is stated"},
    Source{"posture.legs.as_hips", 1.0, 0.5, "1", "cost of legs that hang over that of steady low hips with the same silhouette", "libdrag", Verified::assumption, "nobody has towed swimmers with hanging legs; only the SD is used"},
    // --- practice ---------------------------------------------------------------------------------
    Source{"practice.load_share", 0.25, 0, "1", "of the metres of a session, at most, with added drag or weight", "libdrag", Verified::assumption, "heavy loads change the stroke"},
    Source{"practice.pace.easy", 0.88, 0, "1", "of the speed at threshold", "trade", Verified::common_practice, ""},
    Source{"practice.pace.threshold", 0.96, 0, "1", "of the speed that 1500 m would be raced at", "trade", Verified::common_practice, "a pace that lasts for half an hour; a sprinter's is slower"},
    Source{"practice.rest.easy", 20, 0, "s", "after an easy swim of 25 to 50 m", "trade", Verified::common_practice, ""},
    Source{"practice.rest.race", 3, 0, "1", "times the swim's own time, one length at race pace", "trade", Verified::common_practice, "shorter than in a test by itself: mirrored order takes off what fades"},
    Source{"practice.rest.threshold", 15, 0, "s", "after a swim of up to 100 m at threshold", "trade", Verified::common_practice, ""},
    Source{"practice.rest.tired", 1, 0, "1", "times the swim's own time, one length at race pace while tired", "trade", Verified::common_practice, "so short that she stays tired"},
    Source{"practice.snorkel_training", 9, 0, "week", "18 sessions with a swim snorkel against as many without", "dshs_snorkel", Verified::read, "200 and 400 m times, ventilation and lactate: no difference between the groups"},
    Source{"practice.step.drop", 1, 0, "deg", "drop on film over that without the fault, to go on to the next step", "libdrag", Verified::assumption, "about what a film of a breath is read to"},
    Source{"practice.step.strokes", 1, 0, "1", "strokes of a length over those without the fault, to go on to the next step", "libdrag", Verified::assumption, ""},
    Source{"practice.talk", 60, 0, "s", "between two parts of a session", "trade", Verified::common_practice, "to guess, look at the film and hear the cue"},
    // --- progress over weeks ----------------------------------------------------------------------
    Source{"progress.by_eye", 3, 0, "deg", "a hip drop seen from the deck", "libdrag", Verified::assumption, "2.5 cm on a shoulder-hip distance of half a metre"},
    Source{"progress.drift", 0.25, 0, "deg", "a week, SD of the steady change of a hip drop before anything is seen", "libdrag", Verified::assumption, "used from six sessions on; a drop of 4 deg that is gone in 16 weeks is one of these"},
    Source{"progress.roll", 1.5, 0, "deg", "SD between films from different sides", "libdrag", Verified::assumption, "near-side joints: a true 4.0 reads 2.6 from the side of the breath and 5.1 from the other"},
    Source{"progress.walk", 0.05, 0, "deg", "a root week, SD of the unsteady change of a hip drop", "libdrag", Verified::assumption, "the least of six, each twice the one before, among which the sessions choose"},
    Source{"progress.wobble", 0.5, 0, "deg", "SD of a session's hip drop about that of her weeks", "libdrag", Verified::assumption, ""},
    Source{"progress.worthwhile", 0.004, 0, "1", "of a race time", "libdrag", Verified::assumption, "half of what good swimmers' times differ from race to race, about 0.8 %"},
    // --- race -------------------------------------------------------------------------------------
    Source{"race.distance_exponent", 1.09, 0.03, "1", "same stroke, 50 to 1500 m", "trade", Verified::common_practice, "time grows as distance^1.09 between events of one stroke; used only to guess a time that was not given"},
    Source{"race.drag_exponent", 2.2, 0.3, "1", "n in D = k v^n while swimming", "toussaint1988", Verified::read, "2.12 (SD 0.20) men, 2.28 (0.35) women, arms only; 3.3 by residual thrust (Narita 2017) is reached by the what-if"},
    Source{"race.fade", 0.06, 0.03, "1", "first to last length", "second50_2023", Verified::read, "second 50 of 100 m crawl 5.9 % slower; 0.12 m/s over 200 m long course (Veiga & Roig 2015); matters only when the pattern differs between lengths"},
    Source{"race.fastest.back.100", 1.9380, 0, "m/s", "long course", "records", Verified::memory, "mean speed of the record, men, end of 2025"},
    Source{"race.fastest.back.200", 1.7870, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.back.50", 2.1231, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.breast.100", 1.7581, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.breast.200", 1.5939, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.breast.50", 1.9268, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.crawl.100", 2.1552, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.crawl.1500", 1.7228, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.crawl.200", 1.9608, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.crawl.400", 1.8185, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.crawl.50", 2.3912, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.crawl.800", 1.7694, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.fly.100", 2.0222, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.fly.200", 1.8126, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.fly.50", 2.2452, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.margin", 1.03, 0, "1", "over the pace of the record", "trade", Verified::common_practice, "what no swimmer has done is taken for a slip of the pen"},
    Source{"race.fastest.medley.100", 1.85, 0, "m/s", "short course only, as over the long one", "records", Verified::memory, "short-course record over the short-course factor"},
    Source{"race.fastest.medley.200", 1.7748, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.medley.400", 1.6495, 0, "m/s", "long course", "records", Verified::memory, ""},
    Source{"race.fastest.one_length", 1.1, 0, "1", "25 over 50", "trade", Verified::common_practice, "more of it is the dive"},
    Source{"race.fastest.short_course", 1.1, 0, "1", "over long course", "trade", Verified::common_practice, "more turns; most in yards, 50 back 8 %"},
    Source{"race.long_underwater.start", 15, 0, "m", "flight and under water after the start", "rules", Verified::common_practice, "where the rules of crawl, backstroke and butterfly ask for the head to be up; a caution goes with more"},
    Source{"race.long_underwater.turn", 10, 0, "m", "under water after each turn", "trade", Verified::common_practice, "a caution goes with more: it comes again after a few seconds of breathing"},
    Source{"race.medley.back", 0.255, 0.01, "1", "share of the time, equal distances", "trade", Verified::common_practice, "order fly, back, breast, free; give splits to replace"},
    Source{"race.medley.breast", 0.292, 0.01, "1", "share of the time, equal distances", "trade", Verified::common_practice, ""},
    Source{"race.medley.fly", 0.222, 0.01, "1", "share of the time, equal distances", "trade", Verified::common_practice, ""},
    Source{"race.medley.free", 0.231, 0.01, "1", "share of the time, equal distances", "trade", Verified::common_practice, ""},
    Source{"race.start_dead_time", 0.7, 0.1, "s", "gun to leaving the block", "trade", Verified::common_practice, "not priced"},
    Source{"race.start_underwater", 12, 2.5, "m", "flight and under water after the start", "pla2021", Verified::derived, "31.9 (SD 4.9) m under water in 100 m short course taken as one start and three turns; the split between them is ours"},
    Source{"race.stated_underwater", 0, 0.5, "m", "a distance the coach states", "libdrag", Verified::assumption, "only the SD is used: the error of reading it off the lane ropes"},
    Source{"race.thrust_closure_weight", 0.3, 0, "1", "share of draws with constant mean thrust instead of power", "libdrag", Verified::assumption, "nobody measured which a swimmer holds when drag changes by a few percent"},
    Source{"race.turn_dead_time", 1.07, 0.2, "s", "in and out of the wall", "pla2021", Verified::derived, "non-swimming time 34.2 % minus the time under water, over three turns"},
    Source{"race.turn_underwater", 6.6, 1.6, "m", "under water after each turn", "pla2021", Verified::derived, "as the start"},
    Source{"race.turn_wall_distance", 1.5, 0.3, "m", "from the last stroke to the wall", "trade", Verified::common_practice, "covered within the dead time of the turn"},
    Source{"race.underwater_mark", 15, 0, "m", "free, back, butterfly: the head is up by here after the start and each turn", "rules", Verified::memory, "breaststroke has one pull-out instead, which carries no further"},
    Source{"race.underwater_speed_ratio", 1.26, 0.05, "1", "speed under water over surface speed", "pla2021", Verified::derived, "2.46 m/s against 100 - 31.9 - 3 x 1.5 m in 0.658 of 49.5 s"},
    // --- resistance -------------------------------------------------------------------------------
    Source{"resistance.active.back.perturbation", 0.37, 0, "1", "drag-area coefficient", "ribeiro2011", Verified::read, ""},
    Source{"resistance.active.back.planimetric", 26.9, 0, "kg/m", "cycle-mean projected area, Cd 0.30", "gatta2015", Verified::read, ""},
    Source{"resistance.active.breast.perturbation", 0.72, 0, "1", "drag-area coefficient", "ribeiro2011", Verified::read, ""},
    Source{"resistance.active.breast.planimetric", 37.5, 0, "kg/m", "cycle-mean projected area, Cd 0.30", "gatta2015", Verified::read, ""},
    Source{"resistance.active.crawl.perturbation", 0.29, 0, "1", "drag-area coefficient", "ribeiro2011", Verified::read, ""},
    Source{"resistance.active.crawl.planimetric", 30.0, 0, "kg/m", "cycle-mean projected area, Cd 0.30", "gatta2015", Verified::read, ""},
    Source{"resistance.active.day_to_day", 0.05, 0, "1", "relative SD of one swimmer's measured k", "narita2017", Verified::derived, "6.5 % and 3.0 % day to day"},
    Source{"resistance.active.exponent.assisted_tow", 0.0, 0.25, "1", "how its factor grows with speed, about 1.37 m/s", "libdrag", Verified::assumption, "only the SD is used: measured at one speed"},
    Source{"resistance.active.exponent.perturbation", 0.0, 0.25, "1", "how its factor grows with speed, about 1.37 m/s", "libdrag", Verified::assumption, "only the SD is used: measured at one speed"},
    Source{"resistance.active.exponent.planimetric", 0.0, 0.25, "1", "how its factor grows with speed, about 1.37 m/s", "libdrag", Verified::assumption, "only the SD is used: measured at one speed"},
    Source{"resistance.active.exponent.push_off_pads", 0.0, 0.25, "1", "how its factor grows with speed, about 1.37 m/s", "libdrag", Verified::assumption, "drag itself grew with the power of 2.12 (SD 0.20) in men, 2.28 (0.35) in women"},
    Source{"resistance.active.factor.assisted_tow", 2.1, 0.4, "1", "crawl, about 52 kg/m against 25 passive", "cortesi2024", Verified::memory, "k of 52 kg/m recalled from assisted towing studies"},
    Source{"resistance.active.factor.perturbation", 1.1, 0.2, "1", "crawl, youth, 26 kg/m at 1.54 m/s", "toussaint_perturbation", Verified::derived, "against 23.5 kg/m passive (Narita 2017)"},
    Source{"resistance.active.factor.push_off_pads", 1.15, 0.2, "1", "crawl, arms only, 28.9 N men, 20.4 N women at 1 m/s", "toussaint1988", Verified::derived, "against 25 and 18 kg/m passive"},
    Source{"resistance.active.fly.perturbation", 0.32, 0, "1", "drag-area coefficient", "ribeiro2011", Verified::read, ""},
    Source{"resistance.active.fly.planimetric", 28.5, 0, "kg/m", "cycle-mean projected area, Cd 0.30", "gatta2015", Verified::read, ""},
    Source{"resistance.active.residual.exponent", 3.3, 0.2, "1", "1.0-1.4 m/s", "narita2017", Verified::read, "D = 32.2 v^3.3 N, against 23.5 v^2 passive in the same study"},
    Source{"resistance.active.residual.k", 32.2, 2.0, "N", "at 1 m/s", "narita2017", Verified::read, ""},
    Source{"resistance.active.scatter", 0.12, 0, "1", "between studies of one method", "libdrag", Verified::assumption, "relative SD of an active-over-passive factor beyond its published spread"},
    Source{"resistance.active.streamlined.planimetric", 19.5, 0, "kg/m", "streamlined kicking, minimum area", "gatta2015", Verified::read, "the passive figure the four strokes are divided by"},
    Source{"resistance.active.stroke.back", 1.0, 0.3, "1", "over what the studies of all four strokes say of it", "libdrag", Verified::assumption, "only the SD is used"},
    Source{"resistance.active.stroke.breast", 1.0, 0.3, "1", "over what the studies of all four strokes say of it", "libdrag", Verified::assumption, "only the SD is used"},
    Source{"resistance.active.stroke.fly", 1.0, 0.3, "1", "over what the studies of all four strokes say of it", "libdrag", Verified::assumption, "only the SD is used"},
    Source{"resistance.exponent_scatter", 0.20, 0, "1", "SD between swimmers of n in D = k v^n", "toussaint1988", Verified::read, "about the speed of the sample the drag coefficient is from"},
    Source{"resistance.friction.factor", 1.0, 0.30, "1", "friction of a swimmer over a flat-plate line", "libdrag", Verified::assumption, "skin and briefs are no smooth plate; published shares run from 13 to 25 %"},
    Source{"resistance.passive.arms_at_sides", 1.5, 0.35, "1", "drag over that with arms in front", "novais2009", Verified::derived, "1.72 in a flow solver (Novais 2009), 1.45 in gliding (Vilas-Boas 2010, from memory), 0.82 as one towing study words it (Cortesi & Gatta 2015; 1.21 if it means the other way round): the SD spans them"},
    Source{"resistance.passive.cd", 0.458, 0.076, "1", "glide under water, arms extended, projected area 0.0740 m2, 1.37 m/s, n = 12", "vilasboas2010", Verified::read, "between-swimmer SD; calibration row of the level pressure coefficient"},
    Source{"resistance.passive.length", 2.36, 0.1, "m", "same sample as the passive drag coefficient", "libdrag", Verified::computed, "estimated body of 1.74 m, fingertip to pointed toe: Reynolds number of the sample"},
    Source{"resistance.passive.method", 0.10, 0, "1", "relative SD between studies of one posture", "libdrag", Verified::assumption, "glide, flume and towing differ in hold, depth and speed"},
    Source{"resistance.passive.narita.k", 23.5, 2.0, "kg/m", "flume, 0.9-1.5 m/s, 42 points, R2 0.89", "narita2017", Verified::read, "D = 23.5 v^2.0 N, men; the SD is ours"},
    Source{"resistance.passive.speed", 1.37, 0.124, "m/s", "same sample", "vilasboas2010", Verified::read, ""},
    Source{"resistance.passive.wetted_over_projected", 25.8, 1.0, "1", "adult body, arms extended", "libdrag", Verified::computed, "wetted over level projected area of the estimated bodies of either sex (25.8 at 1.74 m, 65 kg); takes friction out of the published total"},
    Source{"resistance.wave.log_odds", 0.0, 0.5, "1", "added to ln of share/(1 - share)", "libdrag", Verified::assumption, "SD: half of towed-men and mannequin shares apart"},
    Source{"resistance.wave.reference_length", 2.42, 0.08, "m", "men, fingertip to pointed toe", "ansur2", Verified::computed, "estimated body of 1.78 m: turns the speeds of the share curve into Froude numbers"},
    Source{"resistance.wave.share.1_0", 0.02, 0.02, "1", "surface, 1.0 m/s", "mollendorf2004", Verified::read, "of total drag; 7 men towed in briefs; the SD is ours"},
    Source{"resistance.wave.share.2_0", 0.20, 0.08, "1", "surface, 2.0 m/s", "mollendorf2004", Verified::read, "a mannequin gave 0.5-0.6 at 1.7 m/s (Vennell 2006, from memory): carried as spread upward"},
    Source{"resistance.wave.share.2_2", 0.26, 0.09, "1", "surface, 2.2 m/s", "mollendorf2004", Verified::read, ""},
    // --- stroke ------------------------------------------------------------------------------------
    Source{"stroke.breath_lag", 0.15, 0.10, "cycle", "from the middle of the pull to the lowest hips", "libdrag", Verified::assumption, "no published angle-time curve was found; moves where in the speed curve the extra drag falls"},
    Source{"stroke.cycle_spread", 0.10, 0, "1", "relative SD of a stroke cycle that was not given", "libdrag", Verified::assumption, "stroke rates differ between swimmers of one pace"},
    Source{"stroke.drag_centre", 0.0, 0.08, "cycle", "butterfly and breaststroke: when drag is highest", "libdrag", Verified::assumption, "only the SD is used: about the entry of the arms, about the recovery of the legs"},
    Source{"stroke.drag_mean_over_minimum.breast", 1.92, 0.4, "1", "cycle mean over minimum of the projected area", "gatta2015", Verified::derived, "0.25 over 0.13 m2; the SD is ours"},
    Source{"stroke.drag_mean_over_minimum.fly", 1.46, 0.2, "1", "cycle mean over minimum of the projected area", "gatta2015", Verified::derived, "0.19 over 0.13 m2; the SD is ours"},
    Source{"stroke.drag_width", 0.6, 0.12, "cycle", "butterfly and breaststroke: how long drag is above its minimum", "libdrag", Verified::assumption, "arms and legs are out of line for about half of the cycle"},
    Source{"stroke.first_share.breast", 0.30, 0.10, "1", "arms, share of the thrust of a cycle", "libdrag", Verified::assumption, "the legs give the rest"},
    Source{"stroke.first_share.fly", 0.20, 0.10, "1", "first kick, share of the thrust of a cycle", "libdrag", Verified::assumption, "the pull with the second kick gives the rest"},
    Source{"stroke.fluctuation", 1.0, 0.3, "1", "speed fluctuation measured over computed, all strokes", "libdrag", Verified::assumption, "widths of thrust pulses and when drag is high within the stroke are assumptions"},
    Source{"stroke.hip_over_centre_of_mass", 1.9, 0.3, "1", "crawl, ratio of the speed fluctuation of the hip to that of the centre of mass", "matsuda2014", Verified::derived, "14.4/7.3 elite and 17.8/9.8 % less skilled; that the hip overstates it is confirmed in crawl (Psycharakis & Sanders 2009) and butterfly, by how much there is not known"},
    Source{"stroke.kick_share.back", 0.10, 0.05, "1", "six-beat kick as constant thrust, share of the thrust of a cycle", "libdrag", Verified::assumption, ""},
    Source{"stroke.kick_share.crawl", 0.10, 0.05, "1", "six-beat kick as constant thrust, share of the thrust of a cycle", "libdrag", Verified::assumption, ""},
    Source{"stroke.pulse_width.back", 0.25, 0.08, "cycle", "one arm", "libdrag", Verified::assumption, "as crawl"},
    Source{"stroke.pulse_width.breast", 0.25, 0.08, "cycle", "arms, and legs", "libdrag", Verified::assumption, "as the others: the swing of the centre of mass stays below the 0.27 to 0.38 measured in breaststroke"},
    Source{"stroke.pulse_width.crawl", 0.25, 0.08, "cycle", "one arm", "libdrag", Verified::assumption, "set with kick share so that hip fluctuation comes out at plus or minus 15 to 20 % as in Craig & Pendergast 1979; no curve of thrust was fitted"},
    Source{"stroke.pulse_width.fly", 0.25, 0.08, "cycle", "each pulse", "libdrag", Verified::assumption, "as the others: hip fluctuation stays below the plus or minus 45 to 50 % of Craig & Pendergast 1979"},
    Source{"stroke.rate.back", 47, 5, "1/min", "100 m pace", "trade", Verified::common_practice, "stroke cycles per minute; used where no stroke rate is given"},
    Source{"stroke.rate.breast", 50, 6, "1/min", "100 m pace", "trade", Verified::common_practice, ""},
    Source{"stroke.rate.crawl", 52, 5, "1/min", "100 m pace", "trade", Verified::common_practice, "elite men 50 to 55"},
    Source{"stroke.rate.fly", 53, 5, "1/min", "100 m pace", "trade", Verified::common_practice, ""},
    Source{"stroke.second_after.breast", 0.45, 0.08, "cycle", "middle of the arm pull to middle of the leg kick", "libdrag", Verified::assumption, "slowest between the two, while the legs are drawn up"},
    Source{"stroke.second_after.fly", 0.40, 0.08, "cycle", "middle of the first kick to middle of the pull with the second kick", "libdrag", Verified::assumption, ""},
    // --- tilt -------------------------------------------------------------------------------------
    Source{"tilt.crossflow.axial_cd", 0.40, 0.10, "1", "level body, projected area", "passmore2002", Verified::derived, "Cd0 of the rigid diver; 0.458 in the glide study"},
    Source{"tilt.crossflow.cd", 1.2, 0.3, "1", "circular section across the flow, sub-critical", "jorgensen1977", Verified::read, "smooth sections drop to 0.3-0.6 in the critical range, which a body at 2 m/s may or may not reach"},
    Source{"tilt.crossflow.eta.a", 23.009060, 0, "1", "fineness 1 to 40", "jorgensen1977", Verified::read, "eta = 1 - a/(f + b) - (c/(f + d))^2, a fit to the published figure"},
    Source{"tilt.crossflow.eta.b", 122.769003, 0, "1", "fineness 1 to 40", "jorgensen1977", Verified::read, ""},
    Source{"tilt.crossflow.eta.c", 13.006453, 0, "1", "fineness 1 to 40", "jorgensen1977", Verified::read, ""},
    Source{"tilt.crossflow.eta.d", 24.367563, 0, "1", "fineness 1 to 40", "jorgensen1977", Verified::read, ""},
    Source{"tilt.damped.exponent", 0.35, 0.10, "1", "CdA across areas 0.074 to 0.24 m2", "zamparo2009", Verified::derived, "CdA 0.034, 0.039, 0.050 m2 on 0.074, 0.13, 0.24 m2 (Vilas-Boas 2010, Gatta 2015, Zamparo 2009)"},
    Source{"tilt.measured_to", 15, 0, "deg", "rigid diver, wind tunnel", "passmore2002", Verified::read, "beyond it every tilt model extrapolates"},
    Source{"tilt.slope", 3.25, 0.8, "%/deg", "rigid diver, 0 to 15 deg, wind tunnel", "passmore2002", Verified::derived, "+0.013 in Cd per degree on Cd0 0.40: +16 % at 5 deg, +49 % at 15 deg; no free surface"},
    Source{"tilt.weight.crossflow", 0.10, 0, "1", "share of draws", "libdrag", Verified::assumption, "adds least up to some 10 deg; from 12 to 15 deg more than damped and slope"},
    Source{"tilt.weight.damped", 0.40, 0, "1", "share of draws", "libdrag", Verified::assumption, "fits three studies"},
    Source{"tilt.weight.projected", 0.10, 0, "1", "share of draws", "libdrag", Verified::assumption, "upper bound beyond 5 deg"},
    Source{"tilt.weight.slope", 0.40, 0, "1", "share of draws", "libdrag", Verified::assumption, "the only measured human shape"},
    // --- timing --------------------------------------------------------------
    Source{"timing.pads.sd", 0.01, 0, "s", "one interval", "trade", Verified::common_practice, "printed to a hundredth of a second"},
    Source{"timing.stopwatch.sd", 0.10, 0, "s", "one interval, started and stopped by hand", "faux2019", Verified::read, "0.07 a press, normal; a lag common to both presses drops out"},
    Source{"timing.video.sd", 0.03, 0, "s", "one interval, 30 frames a second or more", "libdrag", Verified::assumption, "either end read to about a frame"},
    // --- pool tests -------------------------------------------------------------------------------
    Source{"trials.breath_share", 0.017, 0.57, "1", "of the time, for one breath in each stroke cycle", "libdrag", Verified::assumption, "log-normal: median and SD of the logarithm; drag and lost propulsion together"},
    Source{"trials.day_effort", 0.003, 0, "1", "of the time, SD between two conditions on one day", "libdrag", Verified::assumption, "effort and habit that differ between them that day"},
    Source{"trials.rest", 8, 0, "1", "times the swim's own time, fast swims of 25 to 50 m", "trade", Verified::common_practice, "so that speed holds over the set"},
    Source{"trials.scatter", 0.009, 0.35, "1", "of the time, from one fast swim of 25 to 50 m to the next", "libdrag", Verified::assumption, "log-normal: median and SD of the logarithm"},
    Source{"trials.slip_chance", 0.03, 0, "1", "of a swim that goes wrong", "libdrag", Verified::assumption, "a bad push-off, a late press, a lane rope"},
    Source{"trials.slip_range", 0.10, 0, "1", "of the time, either way", "libdrag", Verified::assumption, "how far a swim that goes wrong may be off, all equally likely"},
    Source{"trials.snorkel_share", 0.0033, 0.0104, "1", "of the time, the snorkel's own drag and habit", "libdrag", Verified::assumption, "a third of 1.0 +- 0.8 % of drag (Ribeiro et al. 2016 with a larger tube) and habit of 1 %"},
    // --- water ------------------------------------------------------------------------------------
    Source{"water.eos80.a0", 8.24493e-1, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, "times S"},
    Source{"water.eos80.a1", -4.0899e-3, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.eos80.a2", 7.6438e-5, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.eos80.a3", -8.2467e-7, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.eos80.a4", 5.3875e-9, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.eos80.b0", -5.72466e-3, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, "times S^1.5"},
    Source{"water.eos80.b1", 1.0227e-4, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.eos80.b2", -1.6546e-6, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.eos80.c0", 4.8314e-4, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, "times S^2"},
    Source{"water.eos80.w0", 999.842594, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, "pure-water polynomial in t (IPTS-68)"},
    Source{"water.eos80.w1", 6.793952e-2, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.eos80.w2", -9.095290e-3, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.eos80.w3", 1.001685e-4, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.eos80.w4", -1.120083e-6, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.eos80.w5", 6.536332e-9, 0, "kg/m3", "fresh and sea, 0-40 degC, 0-42 g/kg", "unesco1981", Verified::read, ""},
    Source{"water.pool_temperature", 27, 1, "degC", "25 to 28 degC in competition", "rules", Verified::memory, "default"},
    Source{"water.sea_absolute_salinity", 35.16504, 0, "g/kg", "standard seawater", "teos10", Verified::definition, "what practical salinity 35 is in grams of salt"},
    Source{"water.sea_salinity", 35, 0, "g/kg", "standard seawater", "unesco1981", Verified::definition, ""},
    Source{"water.sharqawy.a0", 1.541, 0, "1", "sea over pure-water viscosity, 0-180 degC", "sharqawy2010", Verified::memory, "1 + A S + B S^2, S in kg/kg; within 2e-4 of the ITTC sea-water table"},
    Source{"water.sharqawy.a1", 1.998e-2, 0, "1", "sea over pure-water viscosity, 0-180 degC", "sharqawy2010", Verified::memory, ""},
    Source{"water.sharqawy.a2", -9.52e-5, 0, "1", "sea over pure-water viscosity, 0-180 degC", "sharqawy2010", Verified::memory, ""},
    Source{"water.sharqawy.b0", 7.974, 0, "1", "sea over pure-water viscosity, 0-180 degC", "sharqawy2010", Verified::memory, ""},
    Source{"water.sharqawy.b1", -7.561e-2, 0, "1", "sea over pure-water viscosity, 0-180 degC", "sharqawy2010", Verified::memory, ""},
    Source{"water.sharqawy.b2", 4.724e-4, 0, "1", "sea over pure-water viscosity, 0-180 degC", "sharqawy2010", Verified::memory, ""},
    Source{"water.sr6.a1", 280.68, 0, "uPa s", "fresh, liquid, 0.1 MPa, 253-383 K", "iapws_sr6", Verified::memory, "sum of a (T/300 K)^b; within 3e-5 of R12-08 at 15-35 degC"},
    Source{"water.sr6.a2", 511.45, 0, "uPa s", "fresh, liquid, 0.1 MPa, 253-383 K", "iapws_sr6", Verified::memory, ""},
    Source{"water.sr6.a3", 61.131, 0, "uPa s", "fresh, liquid, 0.1 MPa, 253-383 K", "iapws_sr6", Verified::memory, ""},
    Source{"water.sr6.a4", 0.45903, 0, "uPa s", "fresh, liquid, 0.1 MPa, 253-383 K", "iapws_sr6", Verified::memory, ""},
    Source{"water.sr6.b1", -1.9, 0, "1", "fresh, liquid, 0.1 MPa, 253-383 K", "iapws_sr6", Verified::memory, ""},
    Source{"water.sr6.b2", -7.7, 0, "1", "fresh, liquid, 0.1 MPa, 253-383 K", "iapws_sr6", Verified::memory, ""},
    Source{"water.sr6.b3", -19.6, 0, "1", "fresh, liquid, 0.1 MPa, 253-383 K", "iapws_sr6", Verified::memory, ""},
    Source{"water.sr6.b4", -40, 0, "1", "fresh, liquid, 0.1 MPa, 253-383 K", "iapws_sr6", Verified::memory, ""},
    Source{"water.tanaka.a1", -3.983035, 0, "degC", "fresh, 0-40 degC", "tanaka2001", Verified::memory, "within 7e-7 of IAPWS-95 at 15-35 degC"},
    Source{"water.tanaka.a2", 301.797, 0, "degC", "fresh, 0-40 degC", "tanaka2001", Verified::memory, ""},
    Source{"water.tanaka.a3", 522528.9, 0, "degC", "fresh, 0-40 degC", "tanaka2001", Verified::memory, ""},
    Source{"water.tanaka.a4", 69.34881, 0, "degC", "fresh, 0-40 degC", "tanaka2001", Verified::memory, ""},
    Source{"water.tanaka.a5", 999.974950, 0, "kg/m3", "fresh, 0-40 degC", "tanaka2001", Verified::memory, ""},
    // --- waves -------------------------------------------------------------------------------------
    Source{"waves.havelock.least_froude", 0.45, 0, "1", "submerged spheroid, Froude number on length", "neumann_kelvin", Verified::derived, "0.75 to 1.21 of the panel solution from here to 0.9; 0.17 to 6.3 of it in the hollows below"},
    Source{"waves.havelock.most_radius_over_depth", 0.67, 0, "1", "submerged spheroid, radius over axis depth", "neumann_kelvin", Verified::derived, "the nearest to the surface that was compared"},
    // clang-format on
};

namespace detail {
/// Rows are in key order (a test sees to it); their number if there is none of this key.
constexpr std::size_t row_of(std::string_view key) {
    std::size_t first = 0, last = std::size(sources);
    while (first < last) {
        std::size_t const middle = (first + last) / 2;
        if (sources[middle].key < key) first = middle + 1;
        else last = middle;
    }
    return first < std::size(sources) && sources[first].key == key ? first : std::size(sources);
}
/// @throws UnknownKey naming the nearest keys
[[noreturn]] void refuse_source(std::string_view key);
} // namespace detail

/// The row of a published number, at compile time (an unknown key is then a compile error) or run time.
/// @throws UnknownKey naming the nearest keys
constexpr Source const& source(std::string_view key) {
    std::size_t const row = detail::row_of(key);
    if (row == std::size(sources)) detail::refuse_source(key); // not a constant expression
    return sources[row];
}
constexpr double published(std::string_view key) { return source(key).value; }

/// The full citation of a row.
constexpr std::string_view citation(Source const& row) {
    for (auto const& reference : references)
        if (reference.key == row.reference) return reference.text;
    throw UnknownKey("reference", row.reference, "");
}

} // namespace libdrag
