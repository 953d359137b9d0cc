#include "search/everyday.h"

#include "search/terms.h"

namespace baylore::search {

// Words people put round a complaint, which a shop's tips need not have. Common practice, no
// source.
const std::unordered_set<std::string_view>& everyday_words() {
  static const std::unordered_set<std::string_view> kWords = {
      "about", "after", "again", "all", "also", "always", "am", "and", "any", "anyone", "are",
      "aren", "arent", "asks", "back", "been", "before", "being", "but", "can", "cant", "car",
      "cars", "client", "comes", "could", "couldnt", "cust", "customer", "did", "didn", "didnt",
      "does", "doesn", "doesnt", "done", "don", "dont", "even", "ever", "every", "find", "for",
      "from", "get", "gets", "getting", "give", "gives", "goes", "going", "gone", "good", "got",
      "had", "has", "have", "haven", "havent", "having", "he", "hello", "help", "her", "here",
      "him", "his", "how", "into", "isn", "isnt", "its", "just", "keep", "keeps", "know", "last",
      "like", "little", "lot", "made", "make", "makes", "many", "may", "maybe", "more", "most",
      "much", "must", "need", "needs", "never", "new", "nothing", "now", "off", "often", "old",
      "only", "onto", "other", "our", "out", "over", "owner", "please", "problem", "put", "really",
      "said", "same", "saw", "say", "says", "see", "seem", "seems", "she", "should", "some",
      "someone", "something", "sometimes", "soon", "states", "still", "such", "take", "takes",
      "tell", "thank", "thanks", "that", "the", "their", "them", "then", "there", "these", "they",
      "thing", "think", "this", "those", "today", "too", "try", "under", "until", "upon", "use",
      "used", "uses", "very", "want", "wants", "was", "wasn", "wasnt", "way", "week", "weeks",
      "well", "went", "were", "what", "when", "where", "which", "while", "who", "why", "will",
      "with", "won", "wont", "work", "works", "would", "yes", "yet", "you", "your",
      // Spanish
      "algo", "antes", "aqui", "asi", "auto", "bien", "cada", "carro", "casi", "cliente", "coche",
      "como", "con", "cuando", "cual", "dame", "de", "del", "desde", "despues", "dice", "donde",
      "dos", "ella", "ellos", "entre", "era", "esa", "ese", "eso", "esta", "este", "esto", "estoy",
      "fue", "gracias", "hace", "hacer", "hasta", "hay", "las", "los", "luego", "mas", "mucho",
      "muy", "nada", "nos", "nunca", "otra", "otro", "para", "pero", "poco", "por", "porque",
      "pues", "que", "quiere", "ser", "siempre", "sin", "sobre", "solo", "son", "soy", "sus",
      "tambien", "tan", "tiene", "toda", "todo", "tres", "una", "uno", "unos", "usted", "vez",
      "veces", "voy"};
  return kWords;
}

bool everyday(std::string_view word) { return everyday_words().contains(word); }

bool says_little(std::string_view word) {
  // Everyday words that turn a complaint round, or say when or where it is.
  static const std::unordered_set<std::string_view> kTell = {
      "after",  "again",   "always", "back",    "before",    "gone",  "into",    "last",
      "little", "never",   "new",    "nothing", "off",       "old",   "only",    "onto",
      "out",    "over",    "under",  "work",    "works",     "antes", "despues", "nada",
      "nunca",  "siempre", "sin",    "solo",    "sometimes", "bien",  "more",    "less"};
  return function_word(word) || (everyday(word) && !kTell.contains(word));
}

}  // namespace baylore::search
