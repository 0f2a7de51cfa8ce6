// The part of YAML that is read, and what is refused, each with its place.
#include "files/yaml_tree.hpp"

#include "files/complaints.hpp"

namespace {

using namespace penstock;
using penstock::files::yaml_node;
using penstock::files::yaml_tree;
using penstock_tests::expect_complaint;

TEST(YamlTree, KeepsTheOrderAndThePlaceOfEveryValue) {
  const auto root = yaml_tree("a: 1\nb:\n  - x\n  - {c: \"y z\"}\n", "probe");
  ASSERT_TRUE(root);
  ASSERT_EQ(root->entries.size(), 2U);
  EXPECT_EQ(root->entries[0].key, "a");
  EXPECT_EQ(root->entries[0].value.text, "1");
  const yaml_node* list = root->find("b");
  ASSERT_NE(list, nullptr);
  ASSERT_EQ(list->items.size(), 2U);
  EXPECT_EQ(list->items[0].line, 3U);
  EXPECT_EQ(list->items[0].column, 5U);
  const yaml_node* inner = list->items[1].find("c");
  ASSERT_NE(inner, nullptr);
  EXPECT_EQ(inner->text, "y z");
  EXPECT_TRUE(inner->in_quotes);
  EXPECT_EQ(inner->line, 4U);
  EXPECT_EQ(inner->column, 9U);
}

TEST(YamlTree, ColumnsCountCharactersNotBytes) {
  const auto root = yaml_tree("{\"\xC3\xA9\": x, b: y}", "probe");
  ASSERT_TRUE(root);
  EXPECT_EQ(root->find("b")->column, 13U);
}

TEST(YamlTree, RefusesAnEmptyFile) {
  expect_complaint(yaml_tree("", "probe"), {"yaml-empty", 1, 1, "empty"});
  expect_complaint(yaml_tree("# only a comment\n\n", "probe"), {"yaml-empty", 1, 1, "empty"});
  expect_complaint(yaml_tree("---\n...\n", "probe"), {"yaml-empty", 1, 1, "empty"});
}

TEST(YamlTree, RefusesAKeyThatStandsTwice) {
  expect_complaint(yaml_tree("a: 1\nb: 2\na: 3\n", "probe"), {"yaml-twice", 3, 1, "\"a\" stands twice"});
}

TEST(YamlTree, RefusesAnchorsAliasesTagsAndDirectives) {
  expect_complaint(yaml_tree("a: &x 1\n", "probe"), {"yaml-anchor", 1, 4, "anchors"});
  expect_complaint(yaml_tree("a: *x\n", "probe"), {"yaml-alias", 1, 4, "aliases"});
  expect_complaint(yaml_tree("a: !!int 1\n", "probe"), {"yaml-tag", 1, 4, "tags"});
  expect_complaint(yaml_tree("%YAML 1.1\n---\na: 1\n", "probe"), {"yaml-directive", 1, 1, "directives"});
}

TEST(YamlTree, RefusesASecondDocument) {
  expect_complaint(yaml_tree("a: 1\n---\nb: 2\n", "probe"), {"yaml-documents", 2, 1, "second document"});
}

TEST(YamlTree, RefusesAKeyThatIsNoWord) {
  expect_complaint(yaml_tree("? [a]\n: 1\n", "probe"), {"yaml-key", 1, 3, "a key must be a word"});
}

TEST(YamlTree, RefusesWhatIsNestedTooDeep) {
  const std::string twenty(20, '[');
  EXPECT_TRUE(yaml_tree(twenty + std::string(20, ']'), "probe"));
  expect_complaint(yaml_tree(twenty + "[" + std::string(21, ']'), "probe"),
                   {"yaml-depth", 1, 21, "deeper than 20 levels"});
  // Far deeper than any recursion would like.
  EXPECT_FALSE(yaml_tree(std::string(100'000, '['), "probe"));
}

TEST(YamlTree, RefusesBytesThatAreNoText) {
  expect_complaint(yaml_tree(std::string{"a: 1\nb: \0", 9}, "probe"), {"yaml-character", 2, 4, "NUL"});
  expect_complaint(yaml_tree("a: 1\nb: x\xFFy\n", "probe"), {"yaml-encoding", 2, 5, "0xFF is not UTF-8"});
  expect_complaint(yaml_tree("a: \xC0\xAF\n", "probe"), {"yaml-encoding", 1, 4, "0xC0"});      // overlong
  expect_complaint(yaml_tree("a: \xED\xA0\x80\n", "probe"), {"yaml-encoding", 1, 4, "0xED"});  // surrogate
  expect_complaint(yaml_tree("a: \x1B[0m\n", "probe"), {"yaml-character", 1, 4, "0x1B"});
  expect_complaint(yaml_tree("a: \xC3", "probe"), {"yaml-encoding", 1, 4, "0xC3"});  // cut short
}

TEST(YamlTree, RefusesATextBeyondItsLimit) {
  expect_complaint(yaml_tree(std::string(files::yaml_most_bytes + 1, 'a'), "probe"), {"yaml-size", 0, 0, "16 MB"});
}

TEST(YamlTree, ReadsALineOfOneMegabyte) {
  const std::string line = "a: " + std::string(1'000'000, 'x') + "\n";
  const auto root = yaml_tree(line, "probe");
  ASSERT_TRUE(root);
  EXPECT_EQ(root->find("a")->text.size(), 1'000'000U);
}

TEST(YamlTree, SaysWhereTheSyntaxIsBroken) {
  expect_complaint(yaml_tree("a: 1\n  b: [2\n", "probe"), {"yaml-syntax", 2, 4, "not YAML"});
  expect_complaint(yaml_tree("a: \"open\n", "probe"), {"yaml-syntax", 2, 1, "quoted scalar"});
  expect_complaint(yaml_tree("a:\n\t- b\n", "probe"), {"yaml-syntax", 2, 1, "not YAML"});
}

}  // namespace
