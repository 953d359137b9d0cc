#include "pack/hostile.h"

#include "pack/bag.h"
#include "pack/digest.h"

namespace baylore::test {
namespace {

using pack::SecretKey;
using pack::sha512_hex;

const std::string kGood = "---\nid: good\ntitle: A good tip\n---\n\n## Symptom\nCold.\n";

std::string tip(const std::string& id) {
  return "---\nid: " + id + "\ntitle: A bad tip\n---\n\n## Symptom\nBad.\n";
}

// Manifests that fit the payload, and a signature that fits them.
void list(Draft& draft) {
  std::string manifest;
  for (const auto& [path, bytes] : draft.files) {
    if (path.starts_with("data/")) manifest += sha512_hex(bytes) + "  " + path + "\n";
  }
  draft.files["manifest-sha512.txt"] = manifest;
}
void list_tags(Draft& draft) {
  std::string tags;
  for (const auto& [path, bytes] : draft.files) {
    if (path.starts_with("data/") || path.starts_with("tagmanifest-")) continue;
    tags += sha512_hex(bytes) + "  " + path + "\n";
  }
  draft.files["tagmanifest-sha512.txt"] = tags;
}
void sign(Draft& draft, const SecretKey& key) {
  draft.files["tagmanifest-sha512.txt.minisig"] =
      key.sign(draft.files["tagmanifest-sha512.txt"], "p1");
}
void seal(Draft& draft, const SecretKey& key) {
  draft.files["signer.pub"] = pack::public_key_file(key.public_key());
  list(draft);
  list_tags(draft);
  sign(draft, key);
}

Draft good_draft() {
  Draft draft;
  draft.files["bagit.txt"] = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";
  draft.files["bag-info.txt"] = "Bagging-Date: 2026-03-20\n";
  draft.files["data/tips/good.md"] = kGood;
  return draft;
}

std::string zipped(const Draft& draft) {
  ZipWhole whole;
  for (const auto& [path, bytes] : draft.files) {
    ZipPart part;
    part.name = draft.name + "/" + path;
    part.bytes = bytes;
    whole.parts.push_back(std::move(part));
  }
  whole.parts.insert(whole.parts.end(), draft.more.begin(), draft.more.end());
  if (draft.zip) draft.zip(whole);
  return zip_of(whole);
}

class Maker {
 public:
  Maker(const SecretKey& trusted, const SecretKey& stranger)
      : trusted_(trusted), stranger_(stranger) {}

  std::vector<Hostile> make_heavy() {
    heavy();
    return std::move(all_);
  }
  std::vector<Hostile> make() {
    names();
    kinds();
    sizes();
    frames();
    bags();
    signatures();
    texts();
    other_files();
    return std::move(all_);
  }

 private:
  using Change = std::function<void(Draft&)>;

  void add(const std::string& name, bool refused, const Draft& draft) {
    all_.push_back({name, refused, zipped(draft)});
  }
  // Something is done to the container of a good pack.
  void container(const std::string& name, const Change& change) {
    Draft draft = good_draft();
    seal(draft, trusted_);
    change(draft);
    add(name, true, draft);
  }
  void part(const std::string& name, const std::function<void(ZipPart&)>& change) {
    container(name, [&](Draft& draft) {
      ZipPart made;
      made.name = "p1/data/x.md";
      made.bytes = "x";
      change(made);
      draft.more.push_back(std::move(made));
    });
  }
  // Something is done before the manifests are made, and all is signed by a trusted key.
  void payload(const std::string& name, bool refused, const Change& change) {
    Draft draft = good_draft();
    change(draft);
    seal(draft, trusted_);
    add(name, refused, draft);
  }
  // Something is done to the manifests, then signed all the same.
  void manifest(const std::string& name, const Change& change) {
    Draft draft = good_draft();
    seal(draft, trusted_);
    change(draft);
    sign(draft, trusted_);
    add(name, true, draft);
  }

  void names() {
    const std::vector<std::string> paths = {"../../outside.md",
                                            "p1/../../outside.md",
                                            "/tmp/outside.md",
                                            "p1//tmp/outside.md",
                                            "p1/data/./tips/x.md",
                                            "p1\\..\\outside.md",
                                            "C:\\outside.md",
                                            "C:/outside.md",
                                            "p1/data/tips/x.md:stream",
                                            "//host/share/x.md",
                                            "~/outside.md",
                                            "p1/data/~root/x.md",
                                            "p1/data/.ssh/authorized_keys",
                                            "p1/data/tips/CON.md",
                                            "p1/data/tips/lpt1",
                                            "p1/data/nul.md",
                                            "p1/data/tips/x.md.",
                                            "p1/data/tips/x.md ",
                                            "p1/data/tips /x.md",
                                            "p1/data/tips/x\n.md",
                                            std::string("p1/data/tips/x\0.md", 18),
                                            "p1/data/tips/x\x1B[2J.md",
                                            "p1/data/tips/x\xE2\x80\xAE"
                                            "dm.exe",
                                            "p1/data/tips/x\xE2\x80\x8B.md",
                                            "p1/data/tips/\xFF.md",
                                            "p1/data/\xC0\xAE\xC0\xAE/x.md",
                                            "p1/data/\xED\xA0\x80.md",
                                            "p1/data/tips/GOOD.md",
                                            "p1/data/tips/good.md",
                                            "p1/data/tips/good.md/below.md",
                                            "p2/data/tips/x.md",
                                            "alone.md",
                                            "p1/data/tips/" + std::string(250, 'x') + ".md"};
    for (const std::string& path : paths)
      part("name " + path, [&](ZipPart& one) { one.name = path; });
    container("name of the pack", [](Draft& draft) {
      draft.zip = [](ZipWhole& whole) {
        for (ZipPart& one : whole.parts) one.name = "..p" + one.name.substr(2);
      };
    });
    container("name of the pack, a device", [](Draft& draft) {
      draft.zip = [](ZipWhole& whole) {
        for (ZipPart& one : whole.parts) one.name = "aux" + one.name.substr(2);
      };
    });
  }

  void kinds() {
    const std::vector<std::pair<std::string, std::uint32_t>> modes = {
        {"link", 0120777}, {"device", 0020666}, {"block device", 0060666},
        {"pipe", 0010666}, {"socket", 0140666}, {"folder with a file's name", 0040755}};
    for (const auto& [name, mode] : modes) {
      part("kind: " + name, [m = mode](ZipPart& one) {
        one.mode = m;
        one.bytes = "/etc/passwd";
      });
    }
    part("kind: encrypted", [](ZipPart& one) { one.flags |= 1U; });
    part("kind: strong encryption", [](ZipPart& one) { one.flags |= 1U << 6U; });
    part("kind: unknown method", [](ZipPart& one) { one.method = 99; });
    part("kind: volume label", [](ZipPart& one) { one.attributes = 8; });
    part("kind: two names", [](ZipPart& one) { one.local_name = "p1/data/y.md"; });
    part("kind: another name in an extra field",
         [](ZipPart& one) { one.extra = std::string("\x75\x70\x0B\x00\x01....", 9) + "../../"; });
    part("kind: large-file field", [](ZipPart& one) {
      one.extra = std::string("\x01\x00\x08\x00\x00\x00\x00\x00\x00\x00\x00\x01", 12);
    });
  }

  void sizes() {
    const auto bomb = [](std::size_t size) { return deflated(std::string(size, '\0')); };
    part("size: bomb", [&](ZipPart& one) {
      one.method = 8;
      one.bytes = bomb(32U << 20U);
      one.size = 32U << 20U;
    });
    part("size: bomb that says it is small", [&](ZipPart& one) {
      one.method = 8;
      one.bytes = bomb(32U << 20U);
      one.size = 100;
    });
    part("size: many gigabytes", [&](ZipPart& one) {
      one.method = 8;
      one.bytes = bomb(1000);
      one.size = 0xFFFFFFF0U;
    });
    part("size: stored with two sizes", [](ZipPart& one) { one.size = 5; });
    part("size: longer than the file", [](ZipPart& one) { one.size = one.packed = 50000; });
    part("size: two headers", [](ZipPart& one) { one.local_size = 4; });
    part("size: another one before the entry, the right one behind it", [](ZipPart& one) {
      const std::string bytes = "word\n";
      std::string behind;
      put_number(behind, 0x08074b50, 4);
      const auto sum = static_cast<std::uint32_t>(::crc32(
          0, reinterpret_cast<const Bytef*>(bytes.data()), static_cast<uInt>(bytes.size())));
      put_number(behind, sum, 4);
      put_number(behind, 5, 4);
      put_number(behind, 5, 4);
      one.flags |= 1U << 3U;
      one.bytes = bytes + behind;
      one.sum = sum;
      one.packed = 5;
      one.local_size = 3;
    });
    container("size: a hundred entries share one body", [&](Draft& draft) {
      draft.zip = [&](ZipWhole& whole) {
        ZipPart body;
        body.name = "p1/data/b.md";
        body.method = 8;
        body.bytes = bomb(900000);
        body.size = 900000;
        whole.parts.push_back(body);
        const auto at = static_cast<std::uint32_t>(zip_of(whole).size());
        for (int i = 0; i < 100; ++i) {
          ZipPart again = body;
          again.name = "p1/data/" + std::to_string(i) + ".md";
          again.at = at / 2;
          again.bytes.clear();
          again.packed = static_cast<std::uint32_t>(body.bytes.size());
          whole.parts.push_back(again);
        }
      };
    });
    payload("size: a text of two megabytes", true, [](Draft& draft) {
      draft.files["data/tips/x.md"] = tip("x") + std::string(2U << 20U, 'x');
    });
    payload("size: a text of very many lines", false, [](Draft& draft) {
      draft.files["data/tips/x.md"] = tip("x") + std::string(20000, '\n');
    });
  }

  void heavy() {
    container("size: a directory of long names", [](Draft& draft) {
      for (int i = 0; i < 12000; ++i) {
        ZipPart one;
        one.name = "p1/data/" + std::to_string(i) + std::string(2900, 'n');
        one.local_name = "";
        draft.more.push_back(std::move(one));
      }
    });
    container("size: two gigabytes of nothing, and a manifest too many", [](Draft& draft) {
      const std::string bomb = deflated(std::string(50U << 20U, '\0'));
      // What is stored beside it keeps it below the most that a pack may unpack to.
      for (int i = 0; i < 40; ++i) {
        ZipPart one;
        one.name = "p1/data/photos/" + std::to_string(i) + ".png";
        one.method = 8;
        one.bytes = bomb;
        // An empty block of a deflate stream takes five bytes and gives none.
        std::string empty;
        while (empty.size() < (220U << 10U)) empty += std::string("\0\0\0\xFF\xFF", 5);
        one.bytes = empty + bomb;
        one.size = 50U << 20U;
        draft.more.push_back(std::move(one));
      }
      for (const char* digest : {"md5", "sha1", "sha224", "sha256", "sha384"})
        draft.files["manifest-" + std::string(digest) + ".txt"] = "";
    });
    manifest("size: a manifest of sixteen million lines", [](Draft& draft) {
      draft.files["manifest-sha512.txt"].insert(0, std::string(15U << 20U, '\n') + "x\n");
      list_tags(draft);
    });
    manifest("size: two million labels", [](Draft& draft) {
      std::string& info = draft.files["bag-info.txt"];
      while (info.size() < (6U << 20U)) info += "a:\n";
      list_tags(draft);
    });
    payload("size: texts of more lines than all tips of a shop", true, [](Draft& draft) {
      for (int i = 0; i < 250; ++i) {
        draft.files["data/tips/" + std::to_string(i) + ".md"] =
            tip("t" + std::to_string(i)) + std::string(9000, '\n');
      }
    });
  }

  void frames() {
    const std::vector<std::pair<std::string, std::function<void(ZipWhole&)>>> changes = {
        {"bytes before", [](ZipWhole& w) { w.before = "#!/bin/sh\n"; }},
        {"bytes between", [](ZipWhole& w) { w.between = "hidden"; }},
        {"bytes behind", [](ZipWhole& w) { w.behind = "hidden"; }},
        {"comment", [](ZipWhole& w) { w.comment = "hidden"; }},
        {"fewer entries than there are", [](ZipWhole& w) { w.count = 1; }},
        {"more entries than there are", [](ZipWhole& w) { w.count = 60000; }},
        {"check sum", [](ZipWhole& w) { w.parts.front().sum = 1; }},
        {"nothing", [](ZipWhole& w) { w.parts.clear(); }}};
    for (const auto& one : changes)
      container("frame: " + one.first, [&](Draft& draft) { draft.zip = one.second; });
    Draft draft = good_draft();
    seal(draft, trusted_);
    const std::string whole = zipped(draft);
    all_.push_back({"frame: half", true, whole.substr(0, whole.size() / 2)});
    all_.push_back({"frame: two packs", true, whole + whole});
    all_.push_back({"frame: empty", true, ""});
    all_.push_back({"frame: text", true, "<html>not here</html>"});
  }

  void bags() {
    manifest("bag: a file not listed", [](Draft& d) { d.files["data/tips/x.md"] = tip("x"); });
    manifest("bag: a file that is not there", [](Draft& d) { d.files.erase("data/tips/good.md"); });
    manifest("bag: a changed file", [](Draft& d) { d.files["data/tips/good.md"] += "More.\n"; });
    manifest("bag: fetched from elsewhere", [](Draft& d) {
      d.files["fetch.txt"] = "http://elsewhere.example/x - data/tips/x.md\n";
      d.files["manifest-sha512.txt"] += sha512_hex("x") + "  data/tips/x.md\n";
      list_tags(d);
    });
    manifest("bag: a second manifest", [](Draft& d) {
      d.files["manifest-md5.txt"] = "d41d8cd98f00b204e9800998ecf8427e  data/tips/good.md\n";
      list_tags(d);
    });
    manifest("bag: a path out of it", [](Draft& d) {
      d.files["manifest-sha512.txt"] += sha512_hex("") + "  ../../../etc/passwd\n";
      list_tags(d);
    });
    manifest("bag: listed twice", [](Draft& d) {
      d.files["manifest-sha512.txt"] += d.files["manifest-sha512.txt"];
      list_tags(d);
    });
    manifest("bag: a tag file more", [](Draft& d) {
      d.files["README.html"] = "<script>";
      list_tags(d);
    });
    manifest("bag: a tag file that the signature does not speak for",
             [](Draft& d) { d.files["bag-info.txt"] = "Source-Organization: Somebody else\n"; });
    manifest("bag: another version", [](Draft& d) {
      d.files["bagit.txt"] = "BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n";
      list_tags(d);
    });
    manifest("bag: an encoding that hides", [](Draft& d) {
      d.files["bagit.txt"] = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-7\n";
      list_tags(d);
    });
    manifest("bag: no tag manifest", [](Draft& d) { d.files.erase("tagmanifest-sha512.txt"); });
  }

  void signatures() {
    const auto signature = [&](const std::string& name, const Change& change) {
      Draft draft = good_draft();
      seal(draft, trusted_);
      change(draft);
      add("signature: " + name, true, draft);
    };
    const char* const path = "tagmanifest-sha512.txt.minisig";
    signature("of other bytes", [&](Draft& d) { d.files[path] = trusted_.sign("other", "p1"); });
    signature("of the manifest instead", [&](Draft& d) {
      d.files[path] = trusted_.sign(d.files["manifest-sha512.txt"], "p1");
    });
    signature("a stranger's under the trusted id", [&](Draft& d) {
      // The stranger signs, then writes the trusted id over its own.
      const std::string ours = trusted_.sign(d.files["tagmanifest-sha512.txt"], "p1");
      std::string theirs = stranger_.sign(d.files["tagmanifest-sha512.txt"], "p1");
      // Algorithm and id are ten bytes: the first thirteen letters and two bits; twelve will do.
      theirs.replace(theirs.find("\nRU") + 1, 12, ours.substr(ours.find("\nRU") + 1, 12));
      d.files[path] = theirs;
    });
    signature("a stranger's, with the trusted key beside it",
              [&](Draft& d) { sign(d, stranger_); });
    signature("another comment", [&](Draft& d) {
      std::string& text = d.files[path];
      text.replace(text.find("trusted comment: p1", 20), 19, "trusted comment: p2");
    });
    signature("cut short", [&](Draft& d) { d.files[path].resize(d.files[path].size() - 20); });
    signature("with more behind it", [&](Draft& d) { d.files[path] += d.files[path]; });
    signature("empty", [&](Draft& d) { d.files[path].clear(); });
    signature("legacy", [&](Draft& d) {
      std::string& text = d.files[path];
      text.replace(text.find("\nRU"), 3, "\nRW");
    });
    signature("of all zeros", [&](Draft& d) {
      std::string& text = d.files[path];
      const std::size_t at = text.find("\nRU") + 1 + 20;
      text.replace(at, 60, std::string(60, 'A'));
    });
  }

  void texts() {
    const auto text = [&](const std::string& name, const std::string& bytes) {
      payload("text: " + name, false, [&](Draft& d) { d.files["data/tips/x.md"] = bytes; });
    };
    text("not UTF-8", tip("x") + "caf\xE9\n");
    text("overlong UTF-8", tip("x") + "\xC0\xAF\n");
    text("escape sequences", tip("x") + "\x1B]0;title\x07\n");
    text("a zero byte", tip("x") + std::string("\0", 1));
    text("no id", "---\ntitle: Nameless\n---\n");
    text("no front matter", "Just words.\n");
    text("front matter without an end", "---\nid: x\ntitle: Open\n\n## Symptom\nBad.\n");
    for (const char* id : {"..", ".", ".hidden", "a/b", "../../x", "CON", "x.", "a b", "nul.txt"})
      text(std::string("id ") + id, tip(id));
    text("a very long id", tip(std::string(65, 'x')));
    payload("text: two with one id", false, [](Draft& d) {
      d.files["data/tips/x.md"] = tip("x");
      d.files["data/tips/y.md"] = tip("x");
    });
    payload("text: two with ids that differ in capitals", false, [](Draft& d) {
      d.files["data/tips/x.md"] = tip("x");
      d.files["data/tips/y.md"] = tip("X");
    });
    payload("text: the id of one of ours", false,
            [](Draft& d) { d.files["data/tips/x.md"] = tip("ours"); });
    payload("text: the id of one of ours in capitals", false,
            [](Draft& d) { d.files["data/tips/x.md"] = tip("OURS"); });
    payload("text: the id of one of ours with false ancestry", false, [](Draft& d) {
      d.files["data/tips/x.md"] = tip("ours");
      d.files["data/ancestry.csv"] = "tip,ours," + std::string(64, '0') + "\n";
    });
  }

  void other_files() {
    const std::vector<std::string> paths = {"shop.md",
                                            "keys/trusted/evil.pub",
                                            "records/bay-1/2026-03.csv",
                                            "jobs/bay-1/x.json",
                                            "history/ours/" + std::string(64, '0') + ".md",
                                            "received/x/0001.json",
                                            "vocabulary/x.md",
                                            "tips/x.sync-conflict-20260314-101500.md",
                                            "tips/x.exe",
                                            "tips/x.svg",
                                            "photos/x.html"};
    for (const std::string& path : paths)
      payload("file: " + path, false, [&](Draft& d) { d.files["data/" + path] = tip("x"); });
    payload("file: a picture that is none", false,
            [](Draft& d) { d.files["data/photos/x.png"] = "<svg onload=''/>"; });
    payload("file: a picture too large", false, [](Draft& d) {
      d.files["data/photos/x.png"] = "\x89PNG\r\n\x1A\n" + std::string(13U << 20U, 'x');
    });
    payload("file: pictures that climb", false, [](Draft& d) {
      d.files["data/photos/x.png"] = "\x89PNG\r\n\x1A\n";
      d.files["data/tips/good.md"] =
          kGood + "![a](../../../../../x.png)\n![b](/x.png)\n![c](../../../keys/x.png)\n";
    });
    payload("file: ancestry of rubbish", false,
            [](Draft& d) { d.files["data/ancestry.csv"] = "\"\n,,,\ntip,../..,zz\n\xFF"; });
    payload("file: counts of rubbish", false, [](Draft& d) {
      d.files["data/counts.csv"] =
          "kind,name,used,failed,dead\ntip,x,1,2,0\ntip,x,-1,0,0\npart,y,99999999999,0,0\n\"";
    });
  }

  const SecretKey& trusted_;
  const SecretKey& stranger_;
  std::vector<Hostile> all_;
};

}  // namespace

std::string good_pack(const SecretKey& trusted) {
  Draft draft = good_draft();
  seal(draft, trusted);
  return zipped(draft);
}

std::vector<Hostile> heavy_packs(const SecretKey& trusted, const SecretKey& stranger) {
  return Maker(trusted, stranger).make_heavy();
}

std::vector<Hostile> hostile_packs(const SecretKey& trusted, const SecretKey& stranger) {
  return Maker(trusted, stranger).make();
}

}  // namespace baylore::test
