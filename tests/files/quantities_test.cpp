// Numbers with their units: what is read, what is refused, and that writing and reading agree to the last bit.
#include "files/quantities.hpp"

#include <limits>
#include <random>

#include "files/complaints.hpp"
#include "penstock/event_text.hpp"
#include "penstock/layout.hpp"

namespace {

using namespace penstock;
using namespace std::chrono_literals;
using penstock_tests::expect_complaint;

constexpr std::uint32_t line = 3;
constexpr std::uint32_t column = 7;
const location here{"probe", line, column};

TEST(Quantities, ReadsTimesInEveryForm) {
  EXPECT_EQ(*time_from_words("12 s"), 12s);
  EXPECT_EQ(*time_from_words("500 ms"), 500ms);
  EXPECT_EQ(*time_from_words("2 min"), 2min);
  EXPECT_EQ(*time_from_words("24 h"), 24h);
  EXPECT_EQ(*time_from_words("0.125 h"), 450s);
  EXPECT_EQ(*time_from_words("0.0625 min"), 3750ms);
  EXPECT_EQ(*time_from_words("1:05"), 65s);
  EXPECT_EQ(*time_from_words("0:00"), 0s);
  EXPECT_EQ(*time_from_words("90:00"), 90min);
  EXPECT_EQ(*time_from_words("1:00:05.5"), 1h + 5500ms);
  EXPECT_EQ(*time_from_words("12s"), 12s);
}

TEST(Quantities, RefusesTimesThatAreNone) {
  for (const char* text : {"",       " ",          "12",
                           "12 sec", "s",          "-1 s",
                           "-0:05",  "1:5",        "1:60",
                           "1:2:03", "1:00:00:00", ":05",
                           "1:",     "1:05.",      "nan s",
                           "inf s",  "NaN",        "1e3 s",
                           "25 h",   "24:00:01",   "1441:00",
                           "0.5 ms", "0:00.0005",  "1,5 s",
                           "0x10 s", "1 2 s",      "99999999999999999999 h"}) {
    const auto time = time_from_words(text, here);
    ASSERT_FALSE(time) << text;
    EXPECT_EQ(time.problem().id, "time-form") << text;
    EXPECT_EQ(time.problem().where, here) << text;
  }
  expect_complaint(time_from_words("12", here), {"time-form", line, column, "it has no unit"});
  expect_complaint(time_from_words("-1 s", here), {"time-form", line, column, "it is negative"});
  expect_complaint(time_from_words("1 mim", here), {"time-form", line, column, "did you mean \"min\"?"});
  expect_complaint(time_from_words("0.5 ms", here), {"time-form", line, column, "finer than a millisecond"});
}

TEST(Quantities, ReadsVolumesPressuresAndFlows) {
  EXPECT_EQ(*files::volume_from("20 L", here), litres(20));
  EXPECT_EQ(*files::volume_from("250 mL", here), litres(0.25));
  EXPECT_EQ(*files::volume_from("0.5 gal", here), us_gallons(0.5));
  EXPECT_EQ(*files::pressure_from("3000 psi", here), psi(3000));
  EXPECT_EQ(*files::pressure_from("150 kPa", here), kilopascals(150));
  EXPECT_EQ(*files::flow_from("500 mL/s", here), 500'000);
  EXPECT_EQ(*files::flow_from("0.001 mL/s", here), 1);
  EXPECT_EQ(*files::flow_from("6 L/min", here), 100'000);
}

TEST(Quantities, RefusesWhatIsNoQuantity) {
  expect_complaint(files::volume_from("20", here), {"volume-form", line, column, "no unit, possible are L, mL, gal"});
  expect_complaint(files::volume_from("nan L", here), {"volume-form", line, column, "does not begin with a digit"});
  expect_complaint(files::volume_from("-1 L", here), {"volume-form", line, column, "negative"});
  expect_complaint(files::pressure_from("3,000 psi", here), {"pressure-form", line, column, "without a comma"});
  expect_complaint(files::pressure_from("3000 pis", here), {"pressure-form", line, column, "did you mean \"psi\"?"});
  expect_complaint(files::flow_from("0 mL/s", here), {"flow-form", line, column, "no flow"});
  expect_complaint(files::flow_from("9999999 L/s", here), {"flow-form", line, column, "more than 1000 L/s"});
  expect_complaint(files::share_from("inf", here), {"number-form", line, column, "digit"});
  expect_complaint(files::share_from("0.5 %", here), {"number-form", line, column, "followed by"});
  expect_complaint(files::whole_from("2.5", here), {"number-form", line, column, "not whole"});
  expect_complaint(files::whole_from("99999999999", here), {"number-form", line, column, "too large"});
  const std::string endless(1'000'000, '9');
  expect_complaint(files::volume_from(endless + " L", here), {"volume-form", line, column, "too many digits"});
}

TEST(Quantities, WritingAndReadingAgreeToTheLastBit) {
  std::mt19937_64 random{20'240'501};
  std::uniform_real_distribution<double> volumes{0.0001, 1000};
  std::uniform_real_distribution<double> pressures{10, 10'000};
  std::uniform_real_distribution<double> shares{0.01, 0.99};
  std::uniform_int_distribution<std::int64_t> times{0, limits::longest_time.count()};
  std::uniform_int_distribution<std::int64_t> flows{1, files::most_flow};
  for (int i = 0; i < 20'000; ++i) {
    const volume v = litres(volumes(random));
    ASSERT_EQ(*files::volume_from(files::text_of(v), here), v) << files::text_of(v);
    const pressure p = psi(pressures(random));
    ASSERT_EQ(*files::pressure_from(files::text_of(p), here), p) << files::text_of(p);
    const double share = shares(random);
    ASSERT_EQ(*files::share_from(files::share_text(share), here), share) << files::share_text(share);
    const milliseconds t{times(random)};
    ASSERT_EQ(*time_from_words(files::text_of(t), here), t) << files::text_of(t);
    const std::int64_t f = flows(random);
    ASSERT_EQ(*files::flow_from(files::flow_text(f), here), f) << files::flow_text(f);
  }
}

TEST(Quantities, WritesRoundNumbersAsPeopleDo) {
  EXPECT_EQ(files::text_of(litres(6.5)), "6.5 L");
  EXPECT_EQ(files::text_of(us_gallons(2)), "2 gal");
  EXPECT_EQ(files::text_of(psi(3000)), "3000 psi");
  EXPECT_EQ(files::text_of(milliseconds{90'000}), "90 s");
  EXPECT_EQ(files::text_of(milliseconds{120'000}), "2 min");
  EXPECT_EQ(files::flow_text(500'000), "500 mL/s");
  EXPECT_EQ(files::flow_text(1'050), "1.05 mL/s");
}

TEST(Quantities, WritesWhatNoCheckHasSeenWithoutHarm) {
  // A spec that was never checked may be written, too; it need not read back.
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(files::text_of(volume{nan}), "nan L");
  EXPECT_FALSE(files::text_of(volume{std::numeric_limits<double>::max()}).empty());
  EXPECT_FALSE(files::text_of(pressure{std::numeric_limits<double>::denorm_min()}).empty());
}

TEST(Quantities, FindsTheNearestName) {
  const std::vector<std::string> names{"port", "starboard", "keel"};
  EXPECT_EQ(nearest("prot", names), "port");
  EXPECT_EQ(nearest("starbord", names), "starboard");
  EXPECT_EQ(nearest("wing", names), "");
  EXPECT_EQ(nearest("", names), "");
  EXPECT_EQ(nearest(std::string(1'000'000, 'p'), names), "");
}

}  // namespace
