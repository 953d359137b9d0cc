#include "viewer/services/drafts.h"

#include <nlohmann/json.hpp>

#include "files/names.h"
#include "files/save.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

std::string draft_path(const std::string& state_folder, const std::string& id) {
  return files::join(files::join(state_folder, "drafts"), id + ".json");
}

std::string text_of(const nlohmann::json& json, const char* key) {
  const auto at = json.find(key);
  return at != json.end() && at->is_string() ? at->get<std::string>() : std::string();
}

}  // namespace

files::Result<void> write_draft(files::Disk& disk, const std::string& state_folder,
                                const Draft& draft) {
  if (!files::is_id(draft.id))
    return files::Failure{files::Failure::Kind::other, draft.id, tr("is no draft id"),
                          tr("start the tip again")};
  const nlohmann::json json{
      {"id", draft.id}, {"path", draft.path}, {"before", draft.before}, {"text", draft.text}};
  // Typed bytes that are not UTF-8 are replaced in the draft only; the dump must never throw here.
  return files::replace(disk, draft_path(state_folder, draft.id),
                        json.dump(1, ' ', false, nlohmann::json::error_handler_t::replace));
}

files::Result<void> remove_draft(files::Disk& disk, const std::string& state_folder,
                                 const std::string& id) {
  const std::string path = draft_path(state_folder, id);
  if (auto removed = disk.remove(path); !removed) return removed;
  return disk.sync_folder(files::folder_of(path));
}

std::vector<Draft> read_drafts(files::Disk& disk, const std::string& state_folder) {
  std::vector<Draft> out;
  const std::string folder = files::join(state_folder, "drafts");
  const auto listed = disk.list(folder);
  if (!listed) return out;
  for (const files::Listed& file : *listed) {
    if (file.status.folder || !file.path.ends_with(".json")) continue;
    const auto bytes = disk.read(files::join(folder, file.path), files::kTextLimit);
    if (!bytes) continue;
    const auto json = nlohmann::json::parse(*bytes, nullptr, false);
    if (!json.is_object()) continue;
    Draft draft{text_of(json, "id"), text_of(json, "path"), text_of(json, "before"),
                text_of(json, "text")};
    if (files::is_id(draft.id) && draft.id + ".json" == file.path) out.push_back(std::move(draft));
  }
  return out;
}

}  // namespace baylore::viewer
