// penstock handout: pages that print, hold no answers for trainees, and run nothing.
#include "files/xml_reading.hpp"
#include "runner/program.hpp"
#include "runner/temporary_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace {

using penstock_tests::element;
using penstock_tests::ended;
using penstock_tests::run_program;
using penstock_tests::temporary_file;
using penstock_tests::temporary_folder;
using penstock_tests::text_of;
using penstock_tests::xml_reading;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::StartsWith;

// Every text holds what HTML would read as markup; each kind of question is asked. Invented.
const std::string lesson = R"(lesson: A <script>alert("door")</script> & more
aircraft: twin-freighter
plant: fluid
story: A <b>story</b> ]]> --> of a door.
steps:
  - at: 0:05
    by: load<i>master
    say: Power <img src=x onerror=y> comes.
    do: external-power on
    observe: the <u>lamp</u>
    ask: Why does the <cargo> pump rest?
    answer: cargo-pump
  - at: 0:12
    do: lever forward open
  - at: 0:20
    ask: How much pressure has port?
    answer: port pressure
    do: pin in
    refused: STR-5
  - at: 0:30
    ask: Does an alert stand?
    answer: alert steering
  - at: 0:40
    ask: Who stopped it?
    answer: The </div> end of travel & nobody else.
  - at: 0:50
    ask: What did you see?
end: 2:00
)";

// Under one name, because a page names its lesson.
std::string handout_for(const std::string& reader, const std::string& of = lesson) {
  const temporary_folder folder;
  std::ofstream{folder.file("door.yaml")} << of;
  const ended run = run_program({"handout", folder.file("door.yaml"), "--for", reader});
  EXPECT_EQ(run.code, 0) << run.err;
  return run.out;
}

// The page as a reader of XML sees it.
xml_reading read_strictly(std::string html) {
  const std::string first = "<!DOCTYPE html>";
  EXPECT_THAT(html, StartsWith(first));
  return xml_reading{html.replace(0, first.size(), "<?xml version=\"1.0\" encoding=\"UTF-8\"?>")};
}

class HandoutFor : public ::testing::TestWithParam<const char*> {};

TEST_P(HandoutFor, IsWellFormedAndEscapesAllTexts) {
  const std::string html = handout_for(GetParam());
  const xml_reading read = read_strictly(html);
  EXPECT_EQ(read.problem, "");
  // Only elements that the program makes; nothing that a lesson wrote became one.
  for (const element& each : read.elements) {
    EXPECT_THAT((std::vector<std::string>{"script", "b", "i", "u", "img", "cargo", "iframe", "link"}),
                Not(::testing::Contains(each.name)));
    for (const auto& [name, value] : each.attributes) {
      const bool leads_away = name == "src" || (name == "href" && value != "#curves");
      EXPECT_FALSE(name.starts_with("on") || leads_away) << each.name << " " << name;
    }
  }
  EXPECT_THAT(html, HasSubstr("<h1>A &lt;script&gt;alert(&quot;door&quot;)&lt;/script&gt; &amp; more</h1>"));
  EXPECT_THAT(html, HasSubstr("Power &lt;img src=x onerror=y&gt; comes."));
}

TEST_P(HandoutFor, HoldsAllThatAClassNeeds) {
  const std::string html = handout_for(GetParam());
  for (const char* words :
       {"Twin freighter with three circuits (twin-freighter)", "Nothing here is approved data",
        "Real hydraulics and real doors injure people", "the &lt;u&gt;lamp&lt;/u&gt;",
        "port service: none -&gt; service, because", "<h2>Consumers</h2>", "<h2>Curves</h2>", "<svg ",
        "<td>brakes</td>\n<td>port (service branch), keel (main branch)</td>\n"
        "<td>beginning: no (no-pressure); step 2: yes; step 4: no (no-pressure)</td>",
        "5. (step 6, 00:50.0) What did you see?", "@page { size: A4;"}) {
    EXPECT_THAT(html, HasSubstr(words));
  }
}

TEST_P(HandoutFor, IsTheSameEachTime) { EXPECT_EQ(handout_for(GetParam()), handout_for(GetParam())); }

INSTANTIATE_TEST_SUITE_P(Handout, HandoutFor, ::testing::Values("trainee", "instructor"),
                         [](const auto& each) { return std::string{each.param}; });

TEST(Handout, TellsTheAnswersToTheInstructorOnly) {
  const std::string with = handout_for("instructor");
  const std::string without = handout_for("trainee");
  EXPECT_THAT(with, HasSubstr("<h2>Answers</h2>"));
  EXPECT_THAT(without, Not(HasSubstr("Answers</h2>")));
  EXPECT_THAT(without, Not(HasSubstr("class=\"answer\"")));
  for (const char* answer :
       {"electric pump cargo-pump does not deliver", "nobody wants it", "no other door asks", " psi</div>",
        "the alert steering does not stand", "The &lt;/div&gt; end of travel &amp; nobody else.",
        "the pin cannot go in while the steering is connected"}) {
    EXPECT_THAT(with, HasSubstr(answer));
    EXPECT_THAT(without, Not(HasSubstr(answer)));
  }
  EXPECT_THAT(with, HasSubstr("Open: the lesson gives no answer."));
}

TEST(Handout, GivesReasonsWhereNoQuestionAsksForThem) {
  EXPECT_THAT(handout_for("trainee"), HasSubstr("forward: idle -&gt; asking, because its lever is out of neutral"));
}

TEST(Handout, IsMadeOfEveryShippedLesson) {
  for (const char* name : {"turnaround", "four-engine-start", "leak-starboard", "small-twin-hand-pump"}) {
    const ended run = run_program({"handout", name, "--for", "instructor"});
    EXPECT_EQ(run.code, 0) << run.err;
    EXPECT_EQ(read_strictly(run.out).problem, "") << name;
    EXPECT_THAT(run.out, Not(HasSubstr("did not go as it expects"))) << name;
  }
}

TEST(Handout, SaysThatALessonDidNotGoAsItExpects) {
  const std::string html = handout_for("trainee", penstock_tests::lesson_that_expects("port is normal"));
  EXPECT_THAT(html, HasSubstr("did not go as it expects in 1 place"));
  EXPECT_THAT(html, Not(HasSubstr("<h2>Questions</h2>")));
}

TEST(Handout, WritesTheFileItIsToldTo) {
  const temporary_folder folder;
  std::ofstream{folder.file("door.yaml")} << lesson;
  const ended run =
      run_program({"handout", folder.file("door.yaml"), "--for", "trainee", "-o", folder.file("a.html")});
  EXPECT_EQ(run.code, 0) << run.err;
  EXPECT_EQ(run.out, "");
  EXPECT_EQ(text_of(folder.file("a.html")), handout_for("trainee"));
}

TEST(Handout, RefusesWrongArgumentsAndWritesNothing) {
  const temporary_folder folder;
  const temporary_file file{".yaml", lesson};
  const std::string path = folder.file("a.html");
  const ended reader = run_program({"handout", file.path(), "--for", "trainer", "-o", path});
  EXPECT_EQ(reader.code, 2);
  EXPECT_THAT(reader.err, HasSubstr("did you mean 'trainee'? [use-form]"));
  const ended itself = run_program({"handout", file.path(), "-o", file.path()});
  EXPECT_EQ(itself.code, 2);
  EXPECT_THAT(itself.err, HasSubstr("[use-output]"));
  EXPECT_EQ(text_of(file.path()), lesson);
  const ended twice = run_program({"handout", file.path(), "-o", path, "--pdf", path});
  EXPECT_EQ(twice.code, 2);
  EXPECT_THAT(twice.err, HasSubstr("[use-output]"));
  EXPECT_EQ(run_program({"handout", file.path(), "-o", ""}).code, 2);
  EXPECT_EQ(run_program({"handout", file.path(), "-o", "/no-such-folder/a.html"}).code, 4);
  EXPECT_THAT(folder.names(), IsEmpty());
}

// Puts an environment variable back when the test is over.
class path_set_to {
 public:
  explicit path_set_to(const std::string& folder) : before_{std::getenv("PATH") != nullptr ? std::getenv("PATH") : ""} {
    ::setenv("PATH", folder.c_str(), 1);
  }
  path_set_to(const path_set_to&) = delete;
  path_set_to& operator=(const path_set_to&) = delete;
  ~path_set_to() { ::setenv("PATH", before_.c_str(), 1); }

 private:
  std::string before_;
};

// Stands in for the browser: a program of that name in a folder of its own.
void put_browser(const temporary_folder& folder, const std::string& script) {
  std::ofstream{folder.file("chromium")} << "#!/bin/sh\n" << script;
  std::filesystem::permissions(folder.file("chromium"), std::filesystem::perms::owner_all);
}

TEST(HandoutPdf, SaysThatChromiumIsNotThere) {
  const temporary_folder folder;
  const path_set_to nothing{folder.file("nothing")};
  const ended run = run_program({"handout", "turnaround", "--pdf", folder.file("a.pdf")});
  EXPECT_EQ(run.code, 4);
  EXPECT_THAT(run.err, HasSubstr("--pdf: Chromium, which makes the PDF, is not installed"));
  EXPECT_THAT(run.err, HasSubstr("[file-pdf]"));
  EXPECT_THAT(folder.names(), IsEmpty());
}

TEST(HandoutPdf, IsWhatTheBrowserMadeOfThePage) {
  const temporary_folder folder;
  const temporary_folder tools;
  // The page comes last; its text goes into the "PDF".
  put_browser(tools,
              "for each; do case $each in --print-to-pdf=*) to=${each#--print-to-pdf=};; file://*) page=${each#file://};; "
              "esac; done\n{ printf %s %PDF-; /bin/cat \"$page\"; } >\"$to\"\n");
  const path_set_to only{tools.file("")};
  const ended run = run_program({"handout", "turnaround", "--pdf", folder.file("a.pdf")});
  EXPECT_EQ(run.code, 0) << run.err;
  EXPECT_EQ(text_of(folder.file("a.pdf")), "%PDF-" + run_program({"handout", "turnaround"}).out);
}

TEST(HandoutPdf, WritesNothingWhenTheBrowserFails) {
  const temporary_folder folder;
  const temporary_folder tools;
  for (const char* script : {"exit 1\n", "exit 0\n"}) {
    put_browser(tools, script);
    const path_set_to only{tools.file("")};
    const ended run = run_program({"handout", "turnaround", "--pdf", folder.file("a.pdf")});
    EXPECT_EQ(run.code, 4);
    EXPECT_THAT(run.err, HasSubstr("Chromium made no PDF"));
    EXPECT_THAT(folder.names(), IsEmpty());
  }
}

}  // namespace
