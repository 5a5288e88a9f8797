package report

import (
	"regexp"
	"strings"
)

var (
	comparison = regexp.MustCompile(`([a-z][a-z0-9_]*) (==|!=) (?:"([^"]*)"|(true|false)\b)`)
	identifier = regexp.MustCompile(`[a-z][a-z0-9_]*`)
	pureRatio  = regexp.MustCompile(`([0-9]) 1(,|$)`)
	unitName   = strings.NewReplacer(" stature", " of standing height", " deg", " degrees")
	limit      = regexp.MustCompile(`[0-9] (stature|deg)\b`)
)

// RuleInWords is a rule as the engine tells it, without what only the rubric's
// file writes so: what it reads stands under its title, and its condition in
// words. title gives the title of a measure, "" for any other name.
func RuleInWords(rule string, title func(name string) string) string {
	rule, condition, _ := strings.Cut(rule, ", judged only if ")
	named := func(name string) string {
		if t := title(name); t != "" {
			return t
		}
		return strings.ReplaceAll(name, "_", " ")
	}
	rule = identifier.ReplaceAllStringFunc(rule, named)
	rule = limit.ReplaceAllStringFunc(pureRatio.ReplaceAllString(rule, "$1$2"), unitName.Replace)
	if condition == "" {
		return rule
	}
	condition = comparison.ReplaceAllStringFunc(condition, func(s string) string {
		m := comparison.FindStringSubmatch(s)
		is := map[string]string{"==": " is ", "!=": " is not "}[m[2]]
		return m[1] + is + strings.ReplaceAll(m[3]+m[4], "-", " ")
	})
	condition = identifier.ReplaceAllStringFunc(condition, named)
	return rule + ", judged only if " + strings.NewReplacer("||", "or", "&&", "and").Replace(condition)
}
