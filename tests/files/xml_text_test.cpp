// What stands in XML can be read back, whatever was put in.
#include "files/xml_text.hpp"

#include <gtest/gtest.h>

namespace {

using penstock::files::xml_attribute;
using penstock::files::xml_text;

TEST(XmlText, EscapesWhatWouldBeMarkup) {
  EXPECT_EQ(xml_text("a < b && \"c\" > d ]]>"), "a &lt; b &amp;&amp; &quot;c&quot; &gt; d ]]&gt;");
}

TEST(XmlText, LeavesOutCharactersThatXmlForbids) {
  std::string all;
  for (char c = 1; c < 0x20; ++c) all += c;
  EXPECT_EQ(xml_text("x" + all + std::string(1, '\0') + "y"), "x\t\n&#13;y");
  EXPECT_EQ(xml_text("x\xEF\xBF\xBEy\xEF\xBF\xBFz"), "xyz");  // U+FFFE, U+FFFF
  EXPECT_EQ(xml_text("\x7F"), "\x7F");                        // discouraged, but allowed
}

TEST(XmlText, KeepsOtherCharactersAndReplacesWhatIsNotUtf8) {
  EXPECT_EQ(xml_text("\xC3\xA4 \xE2\x82\xAC \xF0\x9F\x9B\xA9"), "\xC3\xA4 \xE2\x82\xAC \xF0\x9F\x9B\xA9");
  EXPECT_EQ(xml_text("\xFF"), "\xEF\xBF\xBD");
  EXPECT_EQ(xml_text("\xED\xA0\x80<"), "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD&lt;");  // a surrogate
  EXPECT_EQ(xml_text("\xE2\x82"), "\xEF\xBF\xBD\xEF\xBF\xBD");                        // cut off
}

TEST(XmlAttribute, KeepsLineEndsAndTabs) { EXPECT_EQ(xml_attribute("a\nb\tc\rd"), "a&#10;b&#9;c&#13;d"); }

}  // namespace
