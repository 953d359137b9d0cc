"""The places of a C++ source where one small change makes a mutant. Sources are laid out by clang-format, so that an
operator with a space on either side has two operands: a template's brackets and a reference's && have none."""

import re

TOKEN = re.compile(r"""
    (?P<comment>//[^\n]*|/\*.*?\*/)
  | (?P<directive>^[ \t]*\#(?:[^\n\\]|\\.|\\\n)*)
  | (?P<string>(?:u8|[uUL])?R"(?P<mark>[^(\s]*)\(.*?\)(?P=mark)"|(?:u8|[uUL])?"(?:[^"\\\n]|\\.)*")
  | (?P<character>(?:u8|[uUL])?'(?:[^'\\\n]|\\.)+')
  | (?P<number>(?:0[xX][0-9a-fA-F']+|0[bB][01']+|(?:\d[\d']*\.?[\d']*|\.\d[\d']*)(?:[eE][+-]?\d+)?)[uUlLfFzZ]*)
  | (?P<word>[A-Za-z_]\w*)
  | (?P<sign><=>|<<=|>>=|\.\.\.|->\*|->|::|\+\+|--|<<|<=|>=|==|!=|&&|\|\||\+=|-=|\*=|/=|%=|&=|\|=|\^=|[^\s\w])
""", re.VERBOSE | re.DOTALL | re.MULTILINE)

COMPARISONS = {"<": "<=", "<=": "<", ">": ">=", ">=": ">", "==": "!=", "!=": "=="}
ARITHMETIC = {"+": "-", "-": "+", "*": "/", "/": "*", "%": "*", "+=": "-=", "-=": "+=", "*=": "/=", "/=": "*=",
              "++": "--", "--": "++"}
LOGIC = {"&&": "||", "||": "&&"}
BOOLEANS = {"true": "false", "false": "true"}
KINDS = ["comparison", "arithmetic", "constant", "condition", "logic", "boolean", "statement"]

# What begins a statement that is no expression.
NO_EXPRESSION = {"const", "constexpr", "auto", "static", "using", "namespace", "struct", "class", "enum", "if", "for",
                 "while", "switch", "case", "default", "else", "do", "template", "typedef", "public", "private",
                 "protected", "explicit", "virtual", "friend", "extern", "static_assert", "inline", "try", "catch"}
DECLARATION = re.compile(r"^[A-Za-z_][\w:]*(<.*>)?[&*]*\s+[&*]*[A-Za-z_]\w*\s*([=({\[,]|$)", re.DOTALL)


class Token:
    def __init__(self, kind, text, start):
        self.kind, self.text, self.start, self.end = kind, text, start, start + len(text)


class Mutant:
    """`file` with the bytes from start to end replaced by `new`."""

    def __init__(self, kind, file, source, start, end, new):
        self.kind, self.file, self.start, self.end, self.new = kind, file, start, end, new
        self.line = source.count("\n", 0, start) + 1
        self.last_line = source.count("\n", 0, end) + 1
        begin = source.rfind("\n", 0, start) + 1
        close = source.find("\n", end)
        close = len(source) if close < 0 else close
        self.before = " ".join(source[begin:close].split())
        self.after = " ".join((source[begin:start] + new + source[end:close]).split())
        self.nth = 1  # of the same change of the same line in this file

    def apply(self, source):
        return source[:self.start] + self.new + source[self.end:]


def tokens_of(source):
    tokens = []
    for match in TOKEN.finditer(source):
        kind = match.lastgroup if match.lastgroup != "mark" else "string"
        if kind in ("comment", "directive"):
            continue
        tokens.append(Token(kind, match.group(), match.start()))
    return tokens


def closing(tokens, i):
    """The index of the bracket that closes the one at i."""
    depth = 0
    for j in range(i, len(tokens)):
        if tokens[j].text in "([{":
            depth += 1
        elif tokens[j].text in ")]}":
            depth -= 1
            if depth == 0:
                return j
    return None


def statements(source, tokens):
    """Start and end, without the semicolon, of what can be left out: expressions, and what leaves early."""
    begins = {0}
    for i, token in enumerate(tokens):
        if token.text in (";", "{", "}", "else"):
            begins.add(i + 1)
        elif token.text in ("if", "for", "while") and i + 1 < len(tokens):
            bracket = i + 2 if tokens[i + 1].text == "constexpr" else i + 1
            close = closing(tokens, bracket)
            if close is not None:
                begins.add(close + 1)
        elif token.text == ":" and i >= 1 and any(t.text in ("case", "default") for t in tokens[max(0, i - 6):i]):
            begins.add(i + 1)
    for i in sorted(begins):
        if i >= len(tokens):
            continue
        first = tokens[i]
        if first.text in NO_EXPRESSION or first.kind in ("string", "number", "character") or first.text in "{};)[],~":
            continue
        depth, j = 0, i
        while j < len(tokens):
            text = tokens[j].text
            if text in "([{":
                depth += 1
            elif text in ")]}":
                depth -= 1
            if depth < 0 or (text == ";" and depth == 0):
                break
            j += 1
        if j >= len(tokens) or tokens[j].text != ";" or j == i:
            continue
        text = source[first.start:tokens[j - 1].end]
        if first.text in ("return", "break", "continue"):
            yield first.start, tokens[j - 1].end
        elif not DECLARATION.match(text) and any(t.text in ("=", "(", "++", "--", "+=", "-=", "*=", "/=", "|=", "&=")
                                                 for t in tokens[i:j]):
            yield first.start, tokens[j - 1].end


def mutants_of(file, source):
    tokens = tokens_of(source)
    found = []

    def add(kind, start, end, new):
        found.append(Mutant(kind, file, source, start, end, new))

    skip_to = -1  # behind what is judged while compiling
    for i, token in enumerate(tokens):
        if token.text == "static_assert":
            skip_to = closing(tokens, i + 1) or skip_to
        if i <= skip_to:
            continue
        text, start, end = token.text, token.start, token.end
        spaced = source[start - 1:start].isspace() and source[end:end + 1].isspace()
        if token.kind == "number":
            add("constant", start, end, f"({text} + 1)")
            add("constant", start, end, f"({text} - 1)")
            if float(re.sub(r"[uUlLzZ']", "", text)) not in (0, 1) if not re.match(r"0[xXbB]", text) else True:
                add("constant", start, end, f"({text} * 2)")
        elif token.kind == "word":
            if text in BOOLEANS:
                add("boolean", start, end, BOOLEANS[text])
            elif text in ("if", "while") and tokens[i + 1].text == "(":
                close = closing(tokens, i + 1)
                if close is not None:
                    inside = tokens[i + 2:close]
                    begin = tokens[i + 1].end
                    for t in inside:  # behind `if (init;`
                        if t.text == ";":
                            begin = t.end
                    inner = source[begin:tokens[close].start].strip()
                    if inner.startswith("!") and not any(t.text in LOGIC for t in inside):
                        continue  # leaving out the ! is the same
                    lead = "" if begin == tokens[i + 1].end else " "
                    add("condition", begin, tokens[close].start, f"{lead}!({inner})")
        elif token.kind == "sign":
            if text in COMPARISONS and spaced:
                add("comparison", start, end, COMPARISONS[text])
            elif text in LOGIC and spaced:
                add("logic", start, end, LOGIC[text])
            elif text in ("+", "+=") and "string" in (tokens[i - 1].kind, tokens[i + 1].kind):
                continue  # texts put together
            elif text in ("++", "--") or (text in ARITHMETIC and spaced):
                add("arithmetic", start, end, ARITHMETIC[text])
            elif text == "!":
                add("condition", start, end, "")
    for start, end in statements(source, tokens):
        add("statement", start, end, "")

    times = {}
    for mutant in found:
        key = (mutant.kind, mutant.before, mutant.after)
        times[key] = times.get(key, 0) + 1
        mutant.nth = times[key]
    return found
